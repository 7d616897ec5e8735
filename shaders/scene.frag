// Surfaces without their light: radiance at the eye of what they emit, diffuse albedo, normal, distance.
#include "include/view.glsl"
in vec3 place;
in vec3 facing;
flat in vec3 colour;
layout(location = 0) out vec4 radiance;
layout(location = 1) out vec4 albedo;
layout(location = 2) out vec4 normal;
layout(location = 3) out float distanceToEye;

void main() {
  vec3 away = place - eye.xyz;
  float d = length(away);
  vec3 n = normalize(facing);
  // Seen from behind, a sheet is lit from behind.
  if (dot(n, away) > 0.0) n = -n;
  // Work light: even from above, a quarter as much from below, so that shapes can be told apart.
  float e = workLight * (0.625 + 0.375 * n.z);
  radiance = vec4(colour * e / PI * clear(d), 0.0);
  albedo = vec4(colour, 0.0);
  normal = vec4(n, 0.0);
  distanceToEye = d;
}
