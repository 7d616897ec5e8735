// From radiance to the screen: exposure and tone once, sRGB last. Rows come from ToneCurve.Rows.
#include "include/tone.glsl"
uniform sampler2D radianceMap;
uniform vec3 toneRow0;
uniform vec3 toneRow1;
uniform vec3 toneRow2;
uniform vec3 toneGains; // the projector's white

vec3 screenAt(ivec2 at) {
  vec3 l = texelFetch(radianceMap, at, 0).rgb;
  vec3 x = vec3(dot(toneRow0, l), dot(toneRow1, l), dot(toneRow2, l));
  return srgbEncode(toneGains * toneCurve(x));
}
