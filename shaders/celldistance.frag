// No light yet, and how far away each cell's middle pixel lies.
#include "include/view.glsl"
uniform sampler2D distanceMap;
layout(location = 0) out vec4 cell;

void main() {
  cell = vec4(0.0, 0.0, 0.0, texelFetch(distanceMap, min(ivec2(gl_FragCoord.xy) * SCALE + SCALE / 2, ivec2(size) - 1), 0).r);
}
