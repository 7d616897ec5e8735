// Illuminance from blocks of pixel surfaces, at a quarter of the resolution: it changes slowly over a surface. Blocks are points with a cosine
// (flat) or balls (globes), as in LightMeter.Surfaces; nothing shades them here.
uniform samplerBuffer sourceRows; // Layout/SourceRows.cs, filled by Surfaces/PixelSources.cs
#include "layout/source.glsl"
uniform int sources;
uniform sampler2D distanceMap;
uniform sampler2D normalMap;

vec3 areaLuxAt(ivec2 coarse) {
  ivec2 at = min(coarse * SCALE + SCALE / 2, ivec2(size) - 1);
  float t = texelFetch(distanceMap, at, 0).r;
  vec3 place = eye.xyz + t * rayAt(vec2(at) + 0.5);
  vec3 n = texelFetch(normalMap, at, 0).xyz;
  vec3 sum = vec3(0.0);
  for (int i = 0; i < sources; i++) {
    int first = SOURCE_ROWS * i;
    vec4 sourcePlaceRow = texelFetch(sourceRows, first + SOURCE_PLACE_ROW), sourceFrontRow = texelFetch(sourceRows, first + SOURCE_FRONT_ROW);
    vec3 to = sourcePlace - place;
    float d2 = dot(to, to);
    float d = sqrt(max(d2, 1e-8));
    float facing = max(0.0, dot(n, to) / d);
    float sent = sourceRadius > 0.0 ? PI * sourceRadius * sourceRadius : sourceArea * max(0.0, -dot(sourceFront, to) / d);
    // Nearer than its own size a block is no point: held at what a disc of its area gives at most.
    sum += sourceLuminanceOf(first) * (sent * facing / max(d2, sourceArea / PI) * clear(max(0.0, d - sourceRadius)));
  }
  return t < nothing ? sum : vec3(0.0);
}
