"""Where the joints are.  Millimetres, Z up; the keeper faces -Y and the wind blows to +X."""

import numpy as np

from .sdf import Frame, unit, vec

# The arm that lifts the lantern is on the -X side, the one that carries the rope on +X.
SHOULDER_R, ELBOW_R, HAND_R = (-4.6, 0.3, 29.8), (-9.7, -1.0, 30.1), (-11.9, -5.4, 34.2)
SHOULDER_L, ELBOW_L, HAND_L = (4.8, 0.7, 28.8), (8.0, 1.5, 23.9), (7.9, -3.5, 20.2)
HIP_R, KNEE_R, ANKLE_R = (-2.0, 0.1, 18.4), (-3.9, -5.2, 16.6), (-4.1, -3.9, 11.0)
HIP_L, KNEE_L, ANKLE_L = (2.1, 0.5, 19.0), (2.9, -0.2, 12.7), (2.7, 0.9, 7.6)
BELT_Z = 21.2

HEAD = Frame.turned((-0.25, -0.7, 33.2), yaw=-18.0, pitch=3.0, roll=-4.0, scale=1.1)
FOOT_R = Frame.turned((-4.1, -3.9, 9.6), yaw=-16.0, scale=1.12)
FOOT_L = Frame.turned((2.7, 0.9, 6.0), yaw=26.0, scale=1.12)

_fore_r = unit(vec(HAND_R) - vec(ELBOW_R))
_fore_l = unit(vec(HAND_L) - vec(ELBOW_L))
_bar_r = np.cross(_fore_r, [0.0, 0.0, 1.0])
GRIP_R = Frame.aimed(HAND_R, _bar_r, -_fore_r)
GRIP_L = Frame.aimed(HAND_L, (-1.0, -0.35, 0.0), -_fore_l)
LAMP = Frame.turned(HAND_R, yaw=16.0, roll=-8.0)
