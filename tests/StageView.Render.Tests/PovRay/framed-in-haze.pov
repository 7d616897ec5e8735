// A framed rectangular beam in even haze, seen from the side: a judge of FramedBeamTests. The haze is that of beam-in-haze.pov.
#version 3.7;
global_settings { assumed_gamma 1 max_trace_level 5 }
#include "framed.inc"
camera {
  location <0, -9, 3> sky z up y right -x * 4 / 3 angle 2 * degrees(atan(4 / 3 * tan(radians(20)))) look_at <0, 0, 3>
}
#declare Top = LampZ - 0.02;
#declare Extinction = 0.03;
box {
  <-30, -2.5, -30>, <30, 2.5, Top>
  hollow pigment { rgbt 1 } finish { ambient 0 diffuse 0 }
  interior { media { scattering { 5, rgb Extinction * 0.9 eccentricity 0.6 extinction 1 / 0.9 } method 2 intervals 1 samples 200, 200 } }
}
box {
  <-30, -20, -30>, <30, -2.501, Top>
  hollow pigment { rgbt 1 } finish { ambient 0 diffuse 0 }
  interior { media { absorption rgb Extinction } }
}
