// What a fragment asks of its beam. Twins: BeamPhotometry.Relative, UnfoldedPath.Reaches, GoboSampling.
#include "include/beam.glsl"
BEAM_IN(in)

#ifdef WEBS
uniform sampler2D webTable; // a row an azimuth (the first again at the end), polar angles from 0 to the last one evenly; Beams/WebTable.cs

// Twin: WebSampling.At. Angles in rad.
float webAt(float polar, float azimuth) {
  float rows = beamCurveWebRows;
  float turn = fract(azimuth / (2.0 * PI)) * (rows - 1.0);
  vec2 tables = vec2(textureSize(webTable, 0));
  vec2 at = vec2((polar / beamCurveWebLastPolar * (tables.x - 1.0) + 0.5) / tables.x, (beamCurveWebFirstRow + turn + 0.5) / tables.y);
  return polar > beamCurveWebLastPolar ? 0.0 : textureLod(webTable, at, 0.0).r;
}
#endif

#ifdef GOBOS
uniform sampler2DArray goboImages;

// Transmission at tangents p (own +X, +Y per unit along the axis), some way from the lens; spread is how far apart neighbouring questions lie, in tangents.
// Twin: GoboSampling.Transmission, which knows no focus.
vec3 goboAt(vec2 p, float metres, float spread) {
  vec2 q = p * beamGoboScale - vec2(beamGoboOffset, 0.0);
  q = vec2(q.x * beamGoboCos - q.y * beamGoboSin, q.x * beamGoboSin + q.y * beamGoboCos);
  // Out of focus a point becomes a disc of the lens' angular size times |1/f - 1/z|.
  float blur = beamFocusDistance > 0.0 ? beamLensRadius * abs(1.0 / beamFocusDistance - 1.0 / max(metres, 0.05)) : 0.0;
  float wide = max(spread, 2.0 * blur) * beamGoboScale * 0.5 * float(textureSize(goboImages, 0).x);
  float lod = log2(max(wide, 1.0));
  vec3 sharp = textureLod(goboImages, vec3(q.x * 0.5 + 0.5, 0.5 - 0.5 * q.y, beamGoboLayer), lod).rgb;
  float edge = max(wide / float(textureSize(goboImages, 0).x) * 2.0, 1e-4);
  float open = clamp((1.0 - dot(q, q)) / (2.0 * edge) + 0.5, 0.0, 1.0);
  vec3 mean = vec3(beamTransmission);
  return open * mix(sharp, mean, beamFrost);
}

vec3 ownRight() { return cross(beamAxis, beamUp) * beamHand; }

vec3 goboTowards(vec3 away, float r, float spread) {
  float along = dot(away, beamAxis);
  return along <= 0.0 ? vec3(0.0) : goboAt(vec2(dot(away, ownRight()), dot(away, beamUp)) / along, along - beamStartDistance, spread);
}
#endif

// Inside the half-spaces that the beam is cut by; slack in m lets a surface lie in the plane where the light ends, and keeps the mirror that it comes from out.
bool insidePlanes(vec3 place, float slack) {
  if (beamStart.xyz != vec3(0.0) && dot(beamStart.xyz, place) + beamStart.w < slack) return false;
  if (dot(beamEnd.xyz, place) + beamEnd.w < -slack) return false;
  int first = int(beamFirstEdge), count = int(beamEdgeCount);
  for (int i = 0; i < count; i++) {
    vec4 edge = texelFetch(beamEdges, first + i);
    if (dot(edge.xyz, place) + edge.w < 0.0) return false;
  }
  return true;
}

// Intensity towards a direction (any length) relative to the axis, gobo left out.
float relativeTowards(vec3 away) {
  float r2 = dot(away, away);
#ifdef WEBS
  vec3 right = cross(beamAxis, beamUp) * beamHand;
  float polar = atan(length(cross(away, beamAxis)), dot(away, beamAxis));
  return r2 < beamStartDistance * beamStartDistance ? 0.0 : webAt(polar, atan(dot(away, beamUp), dot(away, right)));
#endif
  if (beamOmni > 0.5) return r2 >= beamStartDistance * beamStartDistance ? 1.0 : 0.0;
  float h = dot(away, beamAxis);
  if (h <= 0.0 || h * h < beamCosSquared * r2) return 0.0;
  vec3 across = cross(away, beamAxis);
  float s2 = dot(across, across) / r2;
  float x = s2 / (1.0 + h * inversesqrt(r2));
  return profileAt(squareOfAngle(x), beamCurveScale, beamCurveHalfExponent);
}
