// Half the size, taps 1 3 3 1 each way; outside the picture there is nothing.
uniform sampler2D radianceMap;
layout(location = 0) out vec4 sum;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy) * 2 - 1;
  ivec2 most = textureSize(radianceMap, 0) - 1;
  sum = vec4(0.0);
  for (int y = 0; y < 4; y++) {
    for (int x = 0; x < 4; x++) {
      ivec2 p = at + ivec2(x, y);
      float weight = (x == 0 || x == 3 ? 1.0 : 3.0) * (y == 0 || y == 3 ? 1.0 : 3.0) / 64.0;
      bool inside = p == clamp(p, ivec2(0), most);
      sum += (inside ? weight : 0.0) * texelFetch(radianceMap, clamp(p, ivec2(0), most), 0);
    }
  }
}
