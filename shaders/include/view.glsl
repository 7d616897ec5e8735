// One view of the moment: the camera's, or the camera's image behind a mirror. Filled by Views/ViewBlock.cs (std140).
layout(std140) uniform View {
  mat4 viewProj;
  vec4 eye;         // m
  vec4 rayRight;    // ray direction at (x, y) in -1..1 = rayForward + x rayRight + y rayUp
  vec4 rayUp;
  vec4 rayForward;
  vec4 face;        // a mirror's front: n, d; what is seen has n.X + d >= 0; (0,0,0,1) for the camera itself
  vec4 haze;        // extinction 1/m, scattering 1/m, g, unevenness 0..1
  vec4 patches;     // drift so far, m; 1 / patch size, 1/m
  vec4 size;        // width, height, 1/width, 1/height, pixels
  vec4 limits;      // distance of nothing, m; angle of one pixel, rad; work light, lx; seed
};

const float PI = 3.14159265358979;

vec3 rayAt(vec2 pixel) {
  vec2 p = pixel * size.zw * 2.0 - 1.0;
  return normalize(rayForward.xyz + p.x * rayRight.xyz + p.y * rayUp.xyz);
}

// Share of light left after a way through the haze.
float clear(float metres) { return exp2(-1.44269504 * haze.x * metres); }

// Henyey and Greenstein 1941; mu = 1 is straight on. Twin: ReferenceRadiance.Phase.
float phase(float mu) {
  float g = haze.z;
  float d = 1.0 + g * g - 2.0 * g * mu;
  return (1.0 - g * g) / (4.0 * PI) * inversesqrt(d * d * d);
}
