#include "include/view.glsl"
in vec3 place;
flat in vec3 shine;
flat in vec3 facing;
layout(location = 0) out vec4 radiance;
layout(location = 1) out vec4 albedo;
layout(location = 2) out vec4 normal;
layout(location = 3) out float distanceToEye;

void main() {
  float d = length(place - eye.xyz);
  radiance = vec4(shine * clear(d), 0.0);
  albedo = vec4(0.0);
  normal = vec4(facing, 0.0);
  distanceToEye = d;
}
