// Haze drawn at a fraction of the resolution, added to the radiance at the eye, or to a picture of a finer fraction, TO pixels a cell.
#include "include/view.glsl"
#include "include/hazeup.glsl"
layout(location = 0) out vec4 radiance;

void main() {
  ivec2 cell = ivec2(gl_FragCoord.xy);
  radiance = vec4(hazeUpAt(TO == 1 ? cell : min(cell * TO + TO / 2, ivec2(size) - 1)), 0.0);
}
