(Moves of 15 mm with turns of 10, 30, 90, 150 and 180 degrees between them.)
(Each turn goes to the left; directions are 0, 10, 40, 130, 280, 100 degrees.)
(For docs/theory.md: to simulate, not to cut.)
G21 G91 G94
G1 X15.000 Y0.000 F3000
X14.772 Y2.605
X11.491 Y9.642
X-9.642 Y11.491
X2.605 Y-14.772
X-2.605 Y14.772
M2
