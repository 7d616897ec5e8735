// Hull of a beam: corners in world metres, made on the CPU (Beams/BeamHulls.cs).
#include "include/view.glsl"
#include "include/beam.glsl"
layout(location = 0) in vec4 corner; // xyz m; w number of the beam
BEAM_IN(out)
#if defined(SHADOWS) || defined(GOBOS) || defined(WEBS)
flat out vec4 bUp;
#endif
#ifdef GOBOS
flat out vec4 bGobo;
flat out vec4 bFocus;
#endif
#ifdef SHADOWS
flat out vec4 bTile;
flat out vec4 bDepth;
#endif

void main() {
  int row = int(corner.w) * BEAM_ROWS;
  vec4 apex = texelFetch(beamRows, row);
  vec4 axis = texelFetch(beamRows, row + 1);
  bApex = apex;
  bAxis = axis;
  bLight = texelFetch(beamRows, row + 3);
  bCurve = texelFetch(beamRows, row + 4);
  bStart = texelFetch(beamRows, row + 5);
  bEnd = texelFetch(beamRows, row + 6);
  bMore = vec4(texelFetch(beamRows, row + 7).xyz, float(row));
#if defined(SHADOWS) || defined(GOBOS) || defined(WEBS)
  bUp = texelFetch(beamRows, row + 2);
#endif
#ifdef GOBOS
  bGobo = texelFetch(beamRows, row + 8);
  bFocus = texelFetch(beamRows, row + 9);
#endif
#ifdef SHADOWS
  bTile = texelFetch(beamRows, row + 10);
  bDepth = texelFetch(beamRows, row + 11);
#endif
  gl_Position = viewProj * vec4(corner.xyz, 1.0);
}
