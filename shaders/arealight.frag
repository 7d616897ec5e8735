// Illuminance from pixel surfaces, coarse; THINNED on its way to the eye.
#include "include/view.glsl"
#include "include/arealight.glsl"
layout(location = 0) out vec4 lux;

void main() {
  lux = vec4(areaLuxAt(ivec2(gl_FragCoord.xy)), 0.0);
#ifdef THINNED
  lux.rgb *= clear(texelFetch(distanceMap, min(ivec2(gl_FragCoord.xy) * SCALE + SCALE / 2, ivec2(size) - 1), 0).r);
#endif
}
