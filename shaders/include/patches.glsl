// Uneven haze: density about its mean of 1, smooth patches of a seeded pattern that drifts with time alone.
float corner(ivec3 c) {
  // Integer mixing after Wang (2007) in 32 bits: the same on every driver.
  uint h = uint(c.x) * 73856093u ^ uint(c.y) * 19349663u ^ uint(c.z) * 83492791u ^ (uint(int(seed)) * 2654435761u);
  h = (h ^ 61u) ^ (h >> 16); h *= 9u; h ^= h >> 4; h *= 0x27d4eb2du; h ^= h >> 15;
  return float(h >> 8) * (1.0 / 16777216.0);
}

float density(vec3 place) {
  vec3 p = (place - drift) * patchesPerMetre;
  vec3 i = floor(p), f = p - i;
  f = f * f * (3.0 - 2.0 * f);
  ivec3 c = ivec3(i);
  float low = mix(mix(corner(c), corner(c + ivec3(1, 0, 0)), f.x), mix(corner(c + ivec3(0, 1, 0)), corner(c + ivec3(1, 1, 0)), f.x), f.y);
  float high = mix(mix(corner(c + ivec3(0, 0, 1)), corner(c + ivec3(1, 0, 1)), f.x), mix(corner(c + ivec3(0, 1, 1)), corner(c + ivec3(1, 1, 1)), f.x), f.y);
  return 1.0 + unevenness * (2.0 * mix(low, high, f.z) - 1.0);
}
