// Illuminance from pixel surfaces, coarse.
#include "include/view.glsl"
#include "include/arealight.glsl"
layout(location = 0) out vec4 lux;

void main() { lux = vec4(areaLuxAt(ivec2(gl_FragCoord.xy)), 0.0); }
