%
(A small tray for screws, 120 x 80 mm, from 12 mm plywood.)
(Straight cutter, 6 mm. Zero: front left corner of the tray, top of the wood.)
(The paths are those of the middle of the cutter.)
(An example to simulate. Before cutting, check depths, clamps and feeds for your machine.)
G17 G21 G90 G94
G0 Z10
M3 S18000
G4 P2 (the spindle runs up)

(four screw holes, pecked)
G0 X10 Y10
G98 G83 X10 Y10 Z-6 R2 Q2 F240
X110
Y70
X10
G80

(pocket, 5 mm deep: down in a helix of 6 mm radius, two turns, then level once)
G0 X66 Y40
G0 Z1
G1 Z0 F300
G3 X66 Y40 Z-2.5 I-6 J0 F600
G3 X66 Y40 Z-5 I-6 J0
G3 X66 Y40 I-6 J0 F1200

(outward, at most 4 mm at a time; corners grow rounder up to a radius of 10 mm)
G1 X77 Y40
Y41
G3 X76 Y42 I-1 J0
G1 X44
G3 X43 Y41 I0 J-1
G1 Y39
G3 X44 Y38 I1 J0
G1 X76
G3 X77 Y39 I0 J1
G1 Y40
G1 X81 Y40
Y43
G3 X78 Y46 I-3 J0
G1 X42
G3 X39 Y43 I0 J-3
G1 Y37
G3 X42 Y34 I3 J0
G1 X78
G3 X81 Y37 I0 J3
G1 Y40
G1 X85 Y40
Y45
G3 X80 Y50 I-5 J0
G1 X40
G3 X35 Y45 I0 J-5
G1 Y35
G3 X40 Y30 I5 J0
G1 X80
G3 X85 Y35 I0 J5
G1 Y40
G1 X89 Y40
Y47
G3 X82 Y54 I-7 J0
G1 X38
G3 X31 Y47 I0 J-7
G1 Y33
G3 X38 Y26 I7 J0
G1 X82
G3 X89 Y33 I0 J7
G1 Y40
G1 X93 Y40
Y49
G3 X84 Y58 I-9 J0
G1 X36
G3 X27 Y49 I0 J-9
G1 Y31
G3 X36 Y22 I9 J0
G1 X84
G3 X93 Y31 I0 J9
G1 Y40
G1 X97 Y40
Y52
G3 X87 Y62 I-10 J0
G1 X33
G3 X23 Y52 I0 J-10
G1 Y28
G3 X33 Y18 I10 J0
G1 X87
G3 X97 Y28 I0 J10
G1 Y40
G1 X99 Y40
Y54
G3 X89 Y64 I-10 J0
G1 X31
G3 X21 Y54 I0 J-10
G1 Y26
G3 X31 Y16 I10 J0
G1 X89
G3 X99 Y26 I0 J10
G1 Y40
G0 Z5

(outline: square corners in front, round ones behind; three passes)
(0.4 mm is left, so that the tray stays held; cut it with a knife)
G0 X60 Y-3
G0 Z1
G1 Z-4 F300
G1 X-3 F1500
Y72
G2 X8 Y83 I11 J0
G1 X112
G2 X123 Y72 R11
G1 Y-3
X60
G1 Z-8 F300
G1 X-3 F1500
Y72
G2 X8 Y83 I11 J0
G1 X112
G2 X123 Y72 R11
G1 Y-3
X60
G1 Z-11.6 F300
G1 X-3 F1500
Y72
G2 X8 Y83 I11 J0
G1 X112
G2 X123 Y72 R11
G1 Y-3
X60
G0 Z10
M5
G0 X0 Y0
M2
%
