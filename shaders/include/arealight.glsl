// Illuminance from blocks of pixel surfaces, at a quarter of the resolution: it changes slowly over a surface. Blocks are points with a cosine
// (flat) or balls (globes), as in LightMeter.Surfaces; nothing shades them here.
uniform samplerBuffer sourceRows; // Passes/AreaLightPass.cs: place, area m2; front, radius of a globe or 0; mean luminance of the lit part
uniform int sources;
uniform sampler2D distanceMap;
uniform sampler2D normalMap;

vec3 areaLuxAt(ivec2 coarse) {
  ivec2 at = min(coarse * SCALE + SCALE / 2, ivec2(size.xy) - 1);
  float t = texelFetch(distanceMap, at, 0).r;
  vec3 place = eye.xyz + t * rayAt(vec2(at) + 0.5);
  vec3 n = texelFetch(normalMap, at, 0).xyz;
  vec3 sum = vec3(0.0);
  for (int i = 0; i < sources; i++) {
    vec4 a = texelFetch(sourceRows, 3 * i), b = texelFetch(sourceRows, 3 * i + 1);
    vec3 to = a.xyz - place;
    float d2 = dot(to, to);
    float d = sqrt(max(d2, 1e-8));
    float facing = max(0.0, dot(n, to) / d);
    float sent = b.w > 0.0 ? PI * b.w * b.w : a.w * max(0.0, -dot(b.xyz, to) / d);
    // Nearer than its own size a block is no point: held at what a disc of its area gives at most.
    sum += texelFetch(sourceRows, 3 * i + 2).rgb * (sent * facing / max(d2, a.w / PI) * clear(max(0.0, d - b.w)));
  }
  return t < limits.x ? sum : vec3(0.0);
}
