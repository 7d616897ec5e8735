// Surfaces without their light: radiance at the eye of what they emit, diffuse albedo and shine, normal and roughness, distance.
#include "include/view.glsl"
in vec3 place;
in vec3 facing;
flat in vec3 colour;
flat in vec2 shining;
#ifdef PAINTED
in vec3 onPicture;
uniform sampler2DArray paintImages;
uniform vec3 paintScale; // brings the pictures' mean to 1: the albedo is the mean
#endif
#ifdef MATT
in vec3 onMesh;
in vec3 meshNormal;
flat in int mattFirst;
#include "include/matt.glsl"
#endif
layout(location = 0) out vec4 radiance;
layout(location = 1) out vec4 albedo;
layout(location = 2) out vec4 normal;
layout(location = 3) out float distanceToEye;

void main() {
  vec3 away = place - eye.xyz;
  float d = length(away);
  vec3 n = normalize(facing);
  // Seen from behind, a sheet is lit from behind.
  bool behind = dot(n, away) > 0.0;
  if (behind) n = -n;
  // Work light: even from above, a quarter as much from below, so that shapes can be told apart.
  vec3 e = vec3(workLight * (0.625 + 0.375 * n.z));
#ifdef MATT
  e += mattLux(mattFirst, onMesh, behind ? -meshNormal : meshNormal);
#endif
  vec3 surface = colour;
#ifdef PAINTED
  surface = min(surface * paintScale * texture(paintImages, onPicture).rgb, 1.0);
#endif
  radiance = vec4(surface * e / PI * clear(d), 0.0);
  albedo = vec4(surface, shining.x);
  normal = vec4(n, shining.y);
  distanceToEye = d;
}
