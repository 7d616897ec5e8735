// A laser's leg in the haze as a line of light, or its spot on a surface. Both are told by what they send into the eye, spread over a
// Gaussian at least as wide as a pixel: brightness does not depend on the picture's size.
#include "include/view.glsl"
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;
#include "layout/laser.glsl"
flat in vec4 laserOriginRow;
flat in vec4 laserDirectionRow;
flat in vec4 laserFluxRow;
flat in vec4 laserApertureRow;
layout(location = 0) out vec4 radiance;

void main() {
  vec3 d = rayAt(gl_FragCoord.xy);
  float seen = texelFetch(distanceMap, ivec2(gl_FragCoord.xy), 0).r;
  vec3 l = laserDirection;
  if (face.xyz != vec3(0.0) && dot(face.xyz, laserOrigin + laserLength * l) + face.w < 0.0 && dot(face.xyz, laserOrigin) + face.w < 0.0) discard;
#ifdef SPOTS
  vec3 end = laserOrigin + laserLength * l;
  vec3 to = end - eye.xyz;
  float t = length(to);
  vec4 c = viewProjection * vec4(end, 1.0);
  ivec2 middle = ivec2((c.xy / c.w * 0.5 + 0.5) * size);
  if (c.w < 0.05 || any(lessThan(middle, ivec2(0))) || any(greaterThanEqual(middle, ivec2(size)))) discard;
  // Shown only where the surface it ends on is what the eye sees there.
  float there = texelFetch(distanceMap, middle, 0).r;
  if (abs(there - t) > 0.02 + 0.01 * t || abs(seen - t) > 0.1 + 0.1 * t) discard;
  vec3 n = texelFetch(normalMap, middle, 0).xyz;
  float facing = max(0.0, -dot(n, to) / t);
  float s = 0.25 * (laserAperture + laserDivergence * (laserWayBefore + laserLength)) / t;
  float s2 = s * s + 0.36 * pixelAngle * pixelAngle;
  float across = length(cross(to / t, d));
  // Intensity of a lit Lambertian spot: flux x albedo x cosine / pi.
  vec3 sent = laserFlux * texelFetch(albedoMap, middle, 0).rgb * (facing / PI * clear(laserWayBefore + laserLength + t) / (t * t));
  radiance = vec4(sent * exp(-0.5 * across * across / s2) / (2.0 * PI * s2), 0.0);
#else
  vec3 w = eye.xyz - laserOrigin;
  float b = dot(d, l);
  float sine2 = max(1.0 - b * b, 1e-7);
  float dw = dot(d, w), lw = dot(l, w);
  float along = (lw - b * dw) / sine2;
  if (along < 0.0 || along > laserLength) discard;
  float t = dot(laserOrigin + along * l - eye.xyz, d);
  if (t <= 0.02 || t > seen) discard;
  vec3 p = laserOrigin + along * l;
  if (face.xyz != vec3(0.0) && dot(face.xyz, p) + face.w < 0.0) discard;
  float apart = length(eye.xyz + t * d - p) / t;
  float s = 0.25 * (laserAperture + laserDivergence * (laserWayBefore + along)) / t;
  float s2 = s * s + 0.36 * pixelAngle * pixelAngle;
  // Radiance across the line integrates to scattering x flux x phase / (distance x sine of the angle between line and ray).
  float line = scattering * phase(-b) * clear(laserWayBefore + along + t) / (t * sqrt(max(sine2, s2)));
  radiance = vec4(laserFlux * (line * exp(-0.5 * apart * apart / s2) * inversesqrt(2.0 * PI * s2)), 0.0);
#endif
}
