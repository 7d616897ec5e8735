// Haze that scatters more than once, coarse.
#include "include/view.glsl"
#include "include/hazefill.glsl"
layout(location = 0) out vec4 radiance;

void main() { radiance = vec4(hazeFillAt(ivec2(gl_FragCoord.xy)), 0.0); }
