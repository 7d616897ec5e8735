// Light of pixel surfaces in the haze, coarse.
#include "include/view.glsl"
#include "include/areahaze.glsl"
layout(location = 0) out vec4 radiance;

void main() { radiance = vec4(areaHazeAt(ivec2(gl_FragCoord.xy)), 0.0); }
