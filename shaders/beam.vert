// Hull of a beam: corners in world metres, made on the CPU (Beams/BeamHulls.cs).
#include "include/view.glsl"
#include "include/beam.glsl"
layout(location = 0) in vec4 corner; // xyz m; w number of the beam
BEAM_IN(out)

void main() {
  int row = int(corner.w) * BEAM_ROWS;
  vec4 apex = texelFetch(beamRows, row);
  vec4 axis = texelFetch(beamRows, row + 1);
  vec4 up = texelFetch(beamRows, row + 2);
  bApex = apex;
  bAxis = axis;
  bLight = texelFetch(beamRows, row + 3);
  bCurve = texelFetch(beamRows, row + 4);
  bStart = texelFetch(beamRows, row + 5);
  bEnd = texelFetch(beamRows, row + 6);
  bMore = vec4(texelFetch(beamRows, row + 7).xyz, float(row));
  gl_Position = viewProj * vec4(corner.xyz, 1.0);
}
