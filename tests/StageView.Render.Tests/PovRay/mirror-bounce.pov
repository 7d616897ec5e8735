// One even cone over a mirror to the floor, seen from above: the judge of MirrorBounceTests. Metres, z up, right-handed.
// The mirror lies inside the cone, so the spot is the mirror's outline seen from the lamp's image. Floor: diffuse 1, so the picture is lux.
#version 3.7;
global_settings { assumed_gamma 1 max_trace_level 5 photons { count 1500000 autostop 0 jitter 0.4 gather 30, 120 radius 0.15 } }
#declare Candela = 10000;
#declare Fd = 0.001;
camera {
  location <5.9, -1.4, 20> sky y up y right -x * 4 / 3 angle 2 * degrees(atan(4 / 3 * tan(radians(14)))) look_at <5.9, -1.4, 0>
}
light_source {
  <-2, 0, 5> rgb Candela / (2 * Fd * Fd)
  fade_distance Fd fade_power 2
  spotlight point_at <0, 6, 3> radius 12 falloff 12 tightness 0
  photons { reflection on refraction off }
}
plane { z, 0 pigment { rgb 1 } finish { ambient 0 diffuse 1 } photons { collect on } }
// Counter-clockwise from the front (facing -y), turned by 10 degrees about the vertical through its centre.
polygon {
  5, <-0.6, 0, -0.4>, <0.6, 0, -0.4>, <0.6, 0, 0.4>, <-0.6, 0, 0.4>, <-0.6, 0, -0.4>
  pigment { rgb 0 } finish { ambient 0 diffuse 0 reflection 0.9 }
  photons { target 1 reflection on collect off }
  rotate z * 10
  translate <0, 6, 3>
}
