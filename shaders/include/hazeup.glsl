// Haze drawn at a fraction of the resolution, brought up: between the four nearest, those at about this pixel's distance count most.
uniform sampler2D hazeMap; // GUIDED: with the distance of each cell's middle pixel
uniform sampler2D distanceMap;

ivec2 askedAt(ivec2 small) { return min(small * HAZE_SCALE + HAZE_SCALE / 2, ivec2(size) - 1); }

vec3 hazeUpAt(ivec2 at) {
  float here = texelFetch(distanceMap, at, 0).r;
  vec2 q = (vec2(at) - float(HAZE_SCALE / 2)) / float(HAZE_SCALE);
  ivec2 i = ivec2(floor(q));
  vec2 f = q - vec2(i);
  // The last cell whose middle pixel lies in the picture.
  ivec2 most = (ivec2(size) - 1 - HAZE_SCALE / 2) / HAZE_SCALE;
  vec4 sum = vec4(0.0);
  for (int k = 0; k < 4; k++) {
    ivec2 o = ivec2(k & 1, k >> 1);
    ivec2 c = clamp(i + o, ivec2(0), most);
    vec2 w = mix(1.0 - f, f, vec2(o));
    vec4 there = texelFetch(hazeMap, c, 0);
#ifndef GUIDED
    there.a = texelFetch(distanceMap, askedAt(c), 0).r;
#endif
    float apart = abs(there.a - here) / here;
    float share = (w.x * w.y + 1e-4) / (0.02 + apart);
    sum += share * vec4(there.rgb, 1.0);
  }
  return sum.rgb / sum.a;
}
