// What a fragment asks of its beam. Twins: BeamPhotometry.Relative, UnfoldedPath.Reaches, GoboSampling.
#include "include/beam.glsl"
BEAM_IN(in)
uniform sampler2DArray goboImages;
uniform sampler2D webTable;

// Inside the half-spaces that the beam is cut by; slack in m lets a surface lie in the plane where the light ends, and keeps the mirror that it comes from out.
bool insidePlanes(vec3 place, float slack) {
  if (bStart.xyz != vec3(0.0) && dot(bStart.xyz, place) + bStart.w < slack) return false;
  if (dot(bEnd.xyz, place) + bEnd.w < -slack) return false;
  int first = int(bMore.x), count = int(bMore.y);
  for (int i = 0; i < count; i++) {
    vec4 edge = texelFetch(beamEdges, first + i);
    if (dot(edge.xyz, place) + edge.w < 0.0) return false;
  }
  return true;
}

// Intensity towards a direction (any length) relative to the axis, gobo left out.
float relativeTowards(vec3 away) {
  float r2 = dot(away, away);
  if (bMore.z > 0.5) return r2 >= bLight.w * bLight.w ? 1.0 : 0.0;
  float h = dot(away, bAxis.xyz);
  if (h <= 0.0 || h * h < bApex.w * r2) return 0.0;
  vec3 across = cross(away, bAxis.xyz);
  float s2 = dot(across, across) / r2;
  float x = s2 / (1.0 + h * inversesqrt(r2));
  return profileAt(squareOfAngle(x), bCurve.x, bCurve.y);
}
