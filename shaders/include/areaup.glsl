// The coarse illuminance brought up, from neighbours in about the same plane, onto the surface's albedo. With SEEN_THROUGH_HAZE it was thinned on its way
// to the eye already.
uniform sampler2D hazeMap; // the coarse illuminance, lx; GUIDED: with the distance of each cell's middle pixel
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;

// False where there is no surface.
bool areaLightAt(ivec2 at, out vec3 light) {
  light = vec3(0.0);
  float here = texelFetch(distanceMap, at, 0).r;
  if (here >= nothing) return false;
  vec3 n = texelFetch(normalMap, at, 0).xyz;
  vec3 place = eye.xyz + here * rayAt(vec2(at) + 0.5);
  vec2 q = (vec2(at) - float(SCALE / 2)) / float(SCALE);
  ivec2 i = ivec2(floor(q));
  vec2 f = q - vec2(i);
  ivec2 most = textureSize(hazeMap, 0) - 1;
  vec4 sum = vec4(0.0);
  for (int k = 0; k < 4; k++) {
    ivec2 o = ivec2(k & 1, k >> 1);
    ivec2 c = clamp(i + o, ivec2(0), most);
    ivec2 from = min(c * SCALE + SCALE / 2, ivec2(size) - 1);
    vec2 w = mix(1.0 - f, f, vec2(o));
    // How far the neighbour lies off this surface's plane: a floor seen at a slant is one surface all the same.
    vec4 there = texelFetch(hazeMap, c, 0);
#ifndef GUIDED
    there.a = texelFetch(distanceMap, from, 0).r;
#endif
    vec3 other = eye.xyz + there.a * rayAt(vec2(from) + 0.5);
    float apart = abs(dot(n, other - place)) / here;
    float like = max(0.0, dot(n, texelFetch(normalMap, from, 0).xyz));
    float share = (w.x * w.y + 1e-4) * (like * like * like * like + 1e-4) / (0.02 + apart);
    sum += share * vec4(there.rgb, 1.0);
  }
#ifdef SEEN_THROUGH_HAZE
  light = sum.rgb / sum.a * texelFetch(albedoMap, at, 0).rgb / PI;
#else
  light = sum.rgb / sum.a * texelFetch(albedoMap, at, 0).rgb * (clear(here) / PI);
#endif
  return true;
}
