// What a mirrored view shows, four pixels a texel; a tells how many of them lie in its area.
uniform sampler2D mirrorMap;
uniform ivec4 area; // x, y, width, height
layout(location = 0) out vec4 image;

void main() {
  ivec2 first = 2 * ivec2(gl_FragCoord.xy);
  vec4 sum = vec4(0.0);
  for (int i = 0; i < 4; i++) {
    ivec2 at = first + ivec2(i & 1, i >> 1);
    if (all(greaterThanEqual(at, area.xy)) && all(lessThan(at, area.xy + area.zw))) sum += vec4(texelFetch(mirrorMap, at, 0).rgb, 1.0);
  }
  image = 0.25 * sum;
}
