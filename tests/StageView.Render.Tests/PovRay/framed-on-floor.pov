// The framed rectangular beam on a white floor that shows its illuminance, lx, seen from above: a judge of FramedBeamTests.
#version 3.7;
global_settings { assumed_gamma 1 max_trace_level 5 }
#include "framed.inc"
camera {
  location <0.9, 0, 5> sky y up y right -x * 4 / 3 angle 2 * degrees(atan(4 / 3 * tan(radians(20)))) look_at <0.9, 0, 0>
}
plane { z, 0 pigment { rgb 1 } finish { ambient 0 diffuse 1 } }
