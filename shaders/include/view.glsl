// One view of the moment: the camera's, or the camera's image behind a mirror. Members as in Layout/ViewUniforms.cs, filled by Plans/ViewBlock.cs.
#include "layout/view.glsl"

const float PI = 3.14159265358979;

vec3 rayAt(vec2 pixel) {
  vec2 p = pixel * perPixel * 2.0 - 1.0;
  return normalize(rayForward.xyz + p.x * rayRight.xyz + p.y * rayUp.xyz);
}

// Share of light left after a way through the haze.
float clear(float metres) { return exp2(-1.44269504 * extinction * metres); }

// Henyey and Greenstein 1941; mu = 1 is straight on. Twin: ReferenceRadiance.Phase.
float phase(float mu) {
  float g = anisotropy;
  float d = 1.0 + g * g - 2.0 * g * mu;
  return (1.0 - g * g) / (4.0 * PI) * inversesqrt(d * d * d);
}
