// One beam in even haze, seen from the side: the judge of BeamInHazeTests. Metres, z up, right-handed.
// Light: I = candela x profile / d^2: fade_distance fd and fade_power 2 give 2 / (1 + (d/fd)^2), hence candela / (2 fd^2).
// The profile of AngularProfile.FromBeamAndField(14 deg, 24 deg) is a filter before the lamp: any curve can be drawn so.
// Haze: HG phase without its 1 / 4 pi, so the picture is 4 pi too bright; extinction is a factor on the scattering.
// Sampling method 2 at even steps converges at once; method 3 is 1.4 % high at 150 samples here.
#version 3.7;
global_settings { assumed_gamma 1 max_trace_level 5 }
#declare Candela = 10000;
#declare Fd = 0.001;
#declare LampZ = 6;
#declare HalfBeam = radians(7);
// p = log(lc / lb) / log(c / b), lb = -ln(.5 (1 - .02) + .02), lc = -ln(.1 (1 - .02) + .02)
#declare Lb = -ln(0.51);
#declare Lc = -ln(0.118);
#declare P = ln(Lc / Lb) / ln(12 / 7);
#declare D = 0.01;
#declare Relative = function(r) { max(0, (exp(-Lb * pow(atan2(r, D) / HalfBeam, P)) - 0.02) / 0.98) }
camera {
  location <0, -9, 3> sky z up y right -x * 4 / 3 angle 2 * degrees(atan(4 / 3 * tan(radians(20)))) look_at <0, 0, 3>
}
light_source {
  <0, 0, LampZ> rgb Candela / (2 * Fd * Fd)
  fade_distance Fd fade_power 2
  spotlight point_at <1, 0, 0> radius 40 falloff 40 tightness 0
  media_interaction on media_attenuation on
}
// The filter stands square to the beam, D below the lamp along its axis; its own plane is x, y.
#declare Axis = vnormalize(<1, 0, -LampZ>);
disc {
  0, z, D * tan(radians(40))
  pigment { function { Relative(sqrt(x * x + y * y)) } color_map { [0 rgbf <0, 0, 0, 1>] [1 rgbf <1, 1, 1, 1>] } }
  finish { ambient 0 diffuse 0 }
  // z to the beam's axis: a turn about y.
  rotate y * degrees(atan2(1, -LampZ))
  translate <0, 0, LampZ> + Axis * D
}
// Lamp and filter lie above the haze: within it their own leg would not be dimmed and the filter would not be seen.
#declare Top = LampZ - 0.02;
#declare Extinction = 0.03;
box {
  <-30, -2.5, -30>, <30, 2.5, Top>
  hollow pigment { rgbt 1 } finish { ambient 0 diffuse 0 }
  interior { media { scattering { 5, rgb Extinction * 0.9 eccentricity 0.6 extinction 1 / 0.9 } method 2 intervals 1 samples 120, 120 } }
}
// Between that and the camera no light scatters, but the haze dims.
box {
  <-30, -20, -30>, <30, -2.501, Top>
  hollow pigment { rgbt 1 } finish { ambient 0 diffuse 0 }
  interior { media { absorption rgb Extinction } }
}
