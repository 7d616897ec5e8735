// Two even cones on a floor seen straight from above, one direct and one over a mirror: the judge of SpotAndBounceTests. Metres, z up, right-handed.
//   povray +Ispot-and-bounce.pov +Oout.ppm +FP16 File_Gamma=1 +W320 +H240 -D -A
// A pixel is 5 cm of the floor. Floor: diffuse 1, so the picture is illuminance; a ten-thousandth of it, to stay below 1.
#version 3.7;
global_settings { assumed_gamma 1 max_trace_level 5 photons { count 900000 autostop 0 jitter 0.4 gather 30, 120 radius 0.15 } }
#declare Candela = 10000 / 10000;
#declare Fd = 0.001;
camera { orthographic location <3, -1, 50> sky y right x * 16 up y * 12 direction -z look_at <3, -1, 0> }
light_source {
  <-3, -3, 6> rgb Candela / (2 * Fd * Fd)
  fade_distance Fd fade_power 2
  spotlight point_at <-1.5, -3.6, 0> radius 10 falloff 10 tightness 0
  photons { reflection off refraction off }
}
light_source {
  <-2, 0, 5> rgb 20 * Candela / (2 * Fd * Fd)
  fade_distance Fd fade_power 2
  spotlight point_at <0, 6, 3> radius 12 falloff 12 tightness 0
  photons { reflection on refraction off }
}
plane { z, 0 pigment { rgb 1 } finish { ambient 0 diffuse 1 } photons { collect on } }
// The mirror lies inside the second cone and faces -y, turned by 10 degrees about the vertical through its centre.
polygon {
  5, <-0.6, 0, -0.4>, <0.6, 0, -0.4>, <0.6, 0, 0.4>, <-0.6, 0, 0.4>, <-0.6, 0, -0.4>
  pigment { rgb 0 } finish { ambient 0 diffuse 0 reflection 0.9 }
  photons { target 1 reflection on collect off }
  rotate z * 10
  translate <0, 6, 3>
}
