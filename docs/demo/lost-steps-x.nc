%
(Lost steps, x: no bit, spindle off, z high. Mark x = 0 before, look at the mark after.)
(An example. It goes from 0 to 100 mm: look that nothing is in the way.)
G17 G21 G90 G94
(Long moves reach the speed limit.)
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
G0 X100
X0
(Short moves turn back at once, time and again.)
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
G0 X2
X0
X7
X0
X20
X0
(Feeds between: some motors lose steps at one middle speed and not above it.)
G1 X40 F300
X0
G1 X40 F600
X0
G1 X40 F1200
X0
G1 X40 F1800
X0
G1 X40 F2400
X0
G1 X40 F3000
X0
G1 X40 F3600
X0
G1 X40 F4200
X0
G1 X40 F4800
X0
G1 X40 F5400
X0
G1 X40 F6000
X0
G1 X40 F6600
X0
G1 X40 F7200
X0
M2
%
