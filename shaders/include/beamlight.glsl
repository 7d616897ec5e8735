// What a fragment asks of its beam. Twins: BeamPhotometry.Relative, UnfoldedPath.Reaches, GoboSampling.
#include "include/beam.glsl"
BEAM_IN(in)
#if defined(SHADOWS) || defined(GOBOS) || defined(WEBS)
BEAM_FIELD(in) bUp;     // xyz; w -1 when mirrored
#endif

#ifdef WEBS
uniform sampler2D webTable; // a row an azimuth (the first again at the end), polar angles from 0 to the last one evenly; Beams/WebTable.cs

// Twin: WebSampling.At. Angles in rad; bCurve: rows, 0, last polar angle, first row.
float webAt(float polar, float azimuth) {
  float rows = bCurve.x;
  float turn = fract(azimuth / (2.0 * PI)) * (rows - 1.0);
  vec2 tables = vec2(textureSize(webTable, 0));
  vec2 at = vec2((polar / bCurve.z * (tables.x - 1.0) + 0.5) / tables.x, (bCurve.w + turn + 0.5) / tables.y);
  return polar > bCurve.z ? 0.0 : textureLod(webTable, at, 0.0).r;
}
#endif

#ifdef GOBOS
uniform sampler2DArray goboImages;
BEAM_FIELD(in) bGobo;   // layer, scale from tangents to -1..1, cos and sin of the rotation back
BEAM_FIELD(in) bFocus;  // offset; focus distance m (0 sharp everywhere); lens radius m; frost

// Transmission at tangents p (own +X, +Y per unit along the axis), some way from the lens; spread is how far apart neighbouring questions lie, in tangents.
// Twin: GoboSampling.Transmission, which knows no focus.
vec3 goboAt(vec2 p, float metres, float spread) {
  vec2 q = p * bGobo.y - vec2(bFocus.x, 0.0);
  q = vec2(q.x * bGobo.z - q.y * bGobo.w, q.x * bGobo.w + q.y * bGobo.z);
  // Out of focus a point becomes a disc of the lens' angular size times |1/f - 1/z|.
  float blur = bFocus.y > 0.0 ? bFocus.z * abs(1.0 / bFocus.y - 1.0 / max(metres, 0.05)) : 0.0;
  float wide = max(spread, 2.0 * blur) * bGobo.y * 0.5 * float(textureSize(goboImages, 0).x);
  float lod = log2(max(wide, 1.0));
  vec3 sharp = textureLod(goboImages, vec3(q.x * 0.5 + 0.5, 0.5 - 0.5 * q.y, bGobo.x), lod).rgb;
  float edge = max(wide / float(textureSize(goboImages, 0).x) * 2.0, 1e-4);
  float open = clamp((1.0 - dot(q, q)) / (2.0 * edge) + 0.5, 0.0, 1.0);
  vec3 mean = vec3(texelFetch(beamRows, int(bMore.w) + 7).w);
  return open * mix(sharp, mean, bFocus.w);
}

vec3 ownRight() { return cross(bAxis.xyz, bUp.xyz) * bUp.w; }

vec3 goboTowards(vec3 away, float r, float spread) {
  float along = dot(away, bAxis.xyz);
  return along <= 0.0 ? vec3(0.0) : goboAt(vec2(dot(away, ownRight()), dot(away, bUp.xyz)) / along, along - bLight.w, spread);
}
#endif

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
#ifdef WEBS
  vec3 right = cross(bAxis.xyz, bUp.xyz) * bUp.w;
  float polar = atan(length(cross(away, bAxis.xyz)), dot(away, bAxis.xyz));
  return r2 < bLight.w * bLight.w ? 0.0 : webAt(polar, atan(dot(away, bUp.xyz), dot(away, right)));
#endif
  if (bMore.z > 0.5) return r2 >= bLight.w * bLight.w ? 1.0 : 0.0;
  float h = dot(away, bAxis.xyz);
  if (h <= 0.0 || h * h < bApex.w * r2) return 0.0;
  vec3 across = cross(away, bAxis.xyz);
  float s2 = dot(across, across) / r2;
  float x = s2 / (1.0 + h * inversesqrt(r2));
  return profileAt(squareOfAngle(x), bCurve.x, bCurve.y);
}
