// A mirror's face: the view behind it (drawn before, over the same pixels) times what the mirror throws back. Twin: MirrorOptics.Shares.
#include "include/view.glsl"
in vec3 place;
flat in vec3 mirrorFront;        // the front's normal
uniform sampler2D mirrorMap;      // radiance at the eye, haze behind the face included
uniform sampler2D hazeDistance;   // how far the mirrored view's surfaces lie, m
uniform ivec4 area;               // pixels of the mirrored view: x, y, width, height
uniform vec4 optics;              // reflectance of the metal, sheet thickness m, index, 1 where the view behind was drawn
layout(location = 0) out vec4 radiance;
layout(location = 1) out vec4 albedo;
layout(location = 2) out vec4 normal;
layout(location = 3) out float distanceToEye;

// Fresnel reflectance of unpolarised light from air into the sheet (Hecht, Optics, "The Fresnel equations").
float fresnel(float ci, float n) {
  float ct = sqrt(max(0.0, 1.0 - (1.0 - ci * ci) / (n * n)));
  float s = (ci - n * ct) / (ci + n * ct);
  float p = (n * ci - ct) / (n * ci + ct);
  return 0.5 * (s * s + p * p);
}

void main() {
  vec3 away = place - eye.xyz;
  float d = length(away);
  bool front = dot(mirrorFront, away) < 0.0;
  distanceToEye = d;
  normal = vec4(front ? mirrorFront : -mirrorFront, 0.0);
  albedo = vec4(front ? vec3(0.0) : vec3(0.02), 0.0);
  radiance = vec4(0.0);
  if (front && optics.w > 0.0) {
    vec3 dir = away / d;
    float cosine = -dot(mirrorFront, dir);
    ivec2 at = ivec2(gl_FragCoord.xy);
    vec3 image = texelFetch(mirrorMap, at, 0).rgb;
    if (optics.y > 0.0) {
      // Main image off the metal with all inner reflections; the ghost off the sheet's front is the same image seen a little nearer.
      float rho = fresnel(cosine, optics.z);
      float main = (1.0 - rho) * (1.0 - rho) * optics.x / (1.0 - rho * optics.x);
      float depth = optics.y * cosine / sqrt(optics.z * optics.z - 1.0 + cosine * cosine);
      vec3 seen = eye.xyz + dir * texelFetch(hazeDistance, at, 0).r - 2.0 * depth * mirrorFront;
      vec4 clip = viewProjection * vec4(seen, 1.0);
      vec2 ghostAt = clamp((clip.xy / clip.w * 0.5 + 0.5) * size, vec2(area.xy) + 0.5, vec2(area.xy + area.zw) - 0.5);
      vec3 ghost = texelFetch(mirrorMap, ivec2(ghostAt), 0).rgb;
      radiance.rgb = main * image + rho * ghost;
    } else {
      radiance.rgb = optics.x * image;
    }
  }
}
