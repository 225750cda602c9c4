(At 80 steps/mm x goes to 10.501 steps, just past half-way from 10 to 11, and trembles there by)
(0.03 step six times before it goes back to zero.)
(For docs/theory.md: to simulate, not to cut.)
G21 G90 G94
G1 X0.13126 F3000
X0.13090
X0.13126
X0.13090
X0.13126
X0.13090
X0.13126
X0
M2
