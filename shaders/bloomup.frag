// One level with its share, and the wider ones bilinearly from half the size.
uniform sampler2D radianceMap;
uniform sampler2D bloomMap;
uniform float mine;
uniform float wider;
layout(location = 0) out vec4 sum;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  ivec2 most = textureSize(bloomMap, 0) - 1;
  ivec2 near = at / 2, far = near + 2 * (at & 1) - 1;
  vec4 up = vec4(0.0);
  for (int k = 0; k < 4; k++) {
    ivec2 p = ivec2((k & 1) == 0 ? near.x : far.x, (k & 2) == 0 ? near.y : far.y);
    float weight = ((k & 1) == 0 ? 0.75 : 0.25) * ((k & 2) == 0 ? 0.75 : 0.25);
    up += (p == clamp(p, ivec2(0), most) ? weight : 0.0) * texelFetch(bloomMap, clamp(p, ivec2(0), most), 0);
  }
  sum = mine * texelFetch(radianceMap, at, 0) + wider * up;
}
