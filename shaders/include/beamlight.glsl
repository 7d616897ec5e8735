// What a fragment asks of its beam. Twins: BeamPhotometry.Relative, AngularProfile.Towards, UnfoldedPath.Reaches, GoboSampling, BladeSampling.
// FORMED: a beam that is no circle across, has framing blades or more than one gobo.
#include "include/beam.glsl"
BEAM_IN(in)

#ifdef WEBS
// For each web two rows about its polar angles, then a row an azimuth (the first again at the end) with a column a polar angle; Beams/WebTable.cs.
uniform sampler2D webTable;

// Twin: WebSampling.At. Angles in rad.
float webAt(float polar, float azimuth) {
  int last = int(beamCurveWebLastColumn), first = int(beamCurveWebFirstRow);
  if (polar > beamCurveWebLastPolar + 1e-6) return 0.0;
  // The column below where a cell of even width begins, and from there on to the one below.
  int cells = textureSize(webTable, 0).x;
  int cell = min(int(polar / beamCurveWebLastPolar * float(cells)), cells - 1);
  int column = int(texelFetch(webTable, ivec2(cell, first), 0).r);
  float below = texelFetch(webTable, ivec2(column, first + 1), 0).r, above = below;
  for (; column < last; column++) {
    above = texelFetch(webTable, ivec2(column + 1, first + 1), 0).r;
    if (above > polar) break;
    below = above;
  }
  float share = above > below ? clamp((polar - below) / (above - below), 0.0, 1.0) : 0.0;
  float turn = fract(azimuth / (2.0 * PI)) * (beamCurveWebRows - 1.0);
  vec2 at = vec2(float(column) + share + 0.5, float(first + 2) + turn + 0.5);
  return textureLod(webTable, at / vec2(textureSize(webTable, 0)), 0.0).r;
}
#endif

#if defined(GOBOS) || defined(FORMED)
vec3 ownRight() { return cross(beamAxis, beamUp) * beamHand; }

// Out of focus a point becomes a disc of the lens' angular size times |1/f - 1/z|.
float focusBlur(float metres) {
  return beamFocusDistance > 0.0 ? beamLensRadius * abs(1.0 / beamFocusDistance - 1.0 / max(metres, 0.05)) : 0.0;
}
#endif

#ifdef FORMED
// Half width of the blades' edges some way from the lens, in tangents.
float bladeSoftness(float metres) { return max(1e-4, min(beamSoftness + focusBlur(metres), beamMostSoftness)); }

vec4 bladeAt(int i) { return texelFetch(beamEdges, int(beamFirstExtra) + i); }

// What blades leave at tangents p.
float bladesAt(vec2 p, float metres, float spread) {
  float soft = max(bladeSoftness(metres), 0.5 * spread);
  float left = 1.0;
  for (int i = 0; i < int(beamBladeCount); i++) {
    vec4 edge = bladeAt(i);
    float off = clamp((edge.z - dot(edge.xy, p)) / soft, -1.0, 1.0);
    left *= 0.5 + off * (0.65625 - 0.15625 * off * off);
  }
  return left;
}

// The curve of a beam that is no circle, at tangents p; squaredAngle off the axis.
float formedProfile(vec2 p, float squaredAngle) {
  vec2 share = vec2(beamFormRight, beamFormUp);
  if (beamFormRectangle > 0.5) {
    vec2 angle = atan(p);
    angle *= angle * share;
    return profileAt(angle.x, beamCurveScale, beamCurveHalfExponent) * profileAt(angle.y, beamCurveScale, beamCurveHalfExponent);
  }
  vec2 square = p * p;
  return profileAt(squaredAngle * dot(square, share) / max(square.x + square.y, 1e-20), beamCurveScale, beamCurveHalfExponent);
}
#endif

#ifdef GOBOS
uniform sampler2DArray goboImages;

// One image at a place q, -1 to 1 within its circle; wide in the same units.
vec3 goboImage(vec2 q, float layer, float transmission, float wide) {
  float pixels = float(textureSize(goboImages, 0).x);
  wide *= 0.5 * pixels;
  float lod = log2(max(wide, 1.0));
  vec3 sharp = textureLod(goboImages, vec3(q.x * 0.5 + 0.5, 0.5 - 0.5 * q.y, layer), lod).rgb;
  float edge = max(wide / pixels * 2.0, 1e-4);
  float open = clamp((1.0 - dot(q, q)) / (2.0 * edge) + 0.5, 0.0, 1.0);
  return open * mix(sharp, vec3(transmission), beamFrost);
}

// Transmission at tangents p (own +X, +Y per unit along the axis), some way from the lens; spread is how far apart neighbouring questions lie, in tangents.
// Twin: GoboSampling.Transmission, which knows no focus.
vec3 goboAt(vec2 p, float metres, float spread) {
  vec2 q = p * beamGoboScale - vec2(beamGoboOffset, 0.0);
  q = vec2(q.x * beamGoboCos - q.y * beamGoboSin, q.x * beamGoboSin + q.y * beamGoboCos);
  float wide = max(spread, 2.0 * focusBlur(metres)) * beamGoboScale;
  vec3 light = goboImage(q, beamGoboLayer, beamTransmission, wide);
#ifdef FORMED
  for (int i = 0; i < int(beamMoreGobos); i++) {
    // Turn and scale in one, the middle in the image's own units; layer, mean.
    int row = int(beamFirstExtra) + int(beamBladeCount) + 2 * i;
    vec4 turn_ = texelFetch(beamEdges, row), image = texelFetch(beamEdges, row + 1);
    vec2 more = vec2(p.x * turn_.x - p.y * turn_.y, p.x * turn_.y + p.y * turn_.x) - turn_.zw;
    light *= goboImage(more, image.x, image.y, wide / beamGoboScale * image.z);
  }
#endif
  return light;
}

vec3 goboTowards(vec3 away, float r, float spread) {
  float along = dot(away, beamAxis);
  return along <= 0.0 ? vec3(0.0) : goboAt(vec2(dot(away, ownRight()), dot(away, beamUp)) / along, along - beamStartDistance, spread);
}
#endif

// Twin: NearField.Seeming, squared, of the square of a distance along the axis.
float seeming2(float z2) {
  float d = z2 - beamNearSquared;
  return 0.5 * (z2 + beamNearSquared + sqrt(d * d + beamNearCross * z2));
}

// Twin: NearField.Way: from where the light seems to come from to a place that lies some way from the apex.
vec3 nearWay(vec3 away) {
  float along = dot(away, beamAxis);
  return along <= 0.0 || beamNearSquared <= 0.0 ? away : away + beamAxis * (sqrt(seeming2(along * along)) - along);
}

// Share of a disc on one side of a straight line, t of its radius from its middle, -1 to 1; within .012 of the segment's (acos(-t) + t sqrt(1 - t t)) / pi.
float discShare(float t) { return 0.5 + t * (0.65625 - 0.15625 * t * t); }

// What the half-spaces that the beam is cut by leave; slack in m lets a surface lie in the plane where the light ends, and keeps the mirror that it comes from
// out. Twin: LensShare.
float insidePlanes(vec3 place, float slack) {
  if (beamStart.xyz != vec3(0.0) && dot(beamStart.xyz, place) + beamStart.w < slack) return 0.0;
  if (dot(beamEnd.xyz, place) + beamEnd.w < -slack) return 0.0;
  int first = int(beamFirstEdge), count = int(beamEdgeCount), soft = int(beamSoftEdges);
  float share = 1.0, height = 1.0;
  if (soft > 0) {
    vec4 mirror = texelFetch(beamEdges, first - 1);
    height = 1.0 / max(dot(mirror.xyz, place) + mirror.w, 1e-7);
  }
  for (int i = 0; i < count; i++) {
    vec4 edge = texelFetch(beamEdges, first + i);
    float off = dot(edge.xyz, place) + edge.w;
    share *= i < soft ? discShare(clamp(off * height, -1.0, 1.0)) : off < 0.0 ? 0.0 : 1.0;
  }
  return share;
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
#ifdef FORMED
  return formedProfile(vec2(dot(away, ownRight()), dot(away, beamUp)) / h, squareOfAngle(x));
#else
  return profileAt(squareOfAngle(x), beamCurveScale, beamCurveHalfExponent);
#endif
}
