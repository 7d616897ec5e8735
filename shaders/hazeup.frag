// Haze drawn at a fraction of the resolution, added to the radiance at the eye.
#include "include/view.glsl"
#include "include/hazeup.glsl"
layout(location = 0) out vec4 radiance;

void main() { radiance = vec4(hazeUpAt(ivec2(gl_FragCoord.xy)), 0.0); }
