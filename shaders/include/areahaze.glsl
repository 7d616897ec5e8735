// Light of pixel surfaces that the haze scatters to the eye. A block is a Lambertian source: of area A seen from r away it gives L A cos / (r2 + A / pi),
// which on its axis is a disc's; along the ray the angle phi seen from it takes the inverse square out, as in hazelight.glsl. Nothing shades it.
#ifdef UNEVEN
#include "include/patches.glsl"
#endif
uniform samplerBuffer sourceRows; // Layout/SourceRows.cs, filled by Surfaces/PixelSources.cs
#include "layout/source.glsl"
uniform int sources;
uniform sampler2D distanceMap;

// Gauss-Legendre points and weights of Abramowitz and Stegun, table 25.4, n = 4.
const vec4 POINTS = vec4(-0.8611363116, -0.3399810436, 0.3399810436, 0.8611363116);
const vec4 WEIGHTS = vec4(0.3478548451, 0.6521451549, 0.6521451549, 0.3478548451);

// A cell stands for the middle pixel of its block.
vec3 areaHazeAt(ivec2 cell) {
  ivec2 at = min(cell * HAZE_SCALE + HAZE_SCALE / 2, ivec2(size) - 1);
  vec3 ray = rayAt(vec2(at) + 0.5);
  float end = texelFetch(distanceMap, at, 0).r;
  float begin = 0.0;
  if (face.xyz != vec3(0.0)) begin = max(0.0, -(dot(face.xyz, eye.xyz) + face.w) / dot(face.xyz, ray));
  vec3 sum = vec3(0.0);
  for (int i = 0; i < sources; i++) {
    int first = SOURCE_ROWS * i;
    vec4 sourcePlaceRow = texelFetch(sourceRows, first + SOURCE_PLACE_ROW), sourceFrontRow = texelFetch(sourceRows, first + SOURCE_FRONT_ROW);
    vec3 rel = eye.xyz - sourcePlace;
    float closest = -dot(rel, ray);
    vec3 c = rel + closest * ray;
    float soft = sourceArea / PI;
    float D = sqrt(dot(c, c) + (sourceRadius > 0.0 ? sourceRadius * sourceRadius : soft));
    float from = begin - closest, to = end - closest;
    // In front of a flat block only.
    float height = dot(sourceFront, c), slope = dot(sourceFront, ray);
    if (sourceRadius <= 0.0) {
      if (slope > 1e-6) from = max(from, -height / slope);
      if (slope < -1e-6) to = min(to, -height / slope);
    }
    float phi0 = atan(from, D), phi1 = atan(max(from, to), D);
    float middle = 0.5 * (phi0 + phi1), halfAngle = 0.5 * (phi1 - phi0);
    float part = 0.0;
    for (int k = 0; k < 4; k++) {
      float phi = middle + halfAngle * POINTS[k];
      float u = D * tan(phi);
      vec3 away = c + u * ray;
      float r = length(away);
      float cosine = sourceRadius > 0.0 ? 1.0 : max(0.0, height + u * slope) / max(r, 1e-4);
      float along = u / max(r, 1e-4);
#ifdef UNEVEN
      cosine *= density(sourcePlace + away);
#endif
      part += WEIGHTS[k] * cosine * phase(-along) * clear(max(0.0, closest + u) + max(0.0, r - sourceRadius));
    }
    float sent = sourceRadius > 0.0 ? PI * sourceRadius * sourceRadius : sourceArea;
    sum += sourceLuminanceOf(first) * (sent * part * halfAngle / D);
  }
  return sum * scattering;
}
