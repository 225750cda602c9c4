(Three straight moves from rest to rest: long, too short to cruise, long.)
(For docs/theory.md: to simulate, not to cut.)
G21 G90 G94
G1 X20 F3000
G4 P0.05
X22
G4 P0.05
X42
M2
