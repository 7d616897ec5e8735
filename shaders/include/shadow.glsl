// Whether light of the fragment's beam reaches a place. Needs beamlight.glsl. Tiles are drawn by Shadows/ShadowPass.cs.
#ifdef SHADOWS
uniform sampler2D shadowAtlas;
BEAM_FIELD(in) bTile;   // (right, up) / along * xy + zw is the place in the atlas, 0..1
BEAM_FIELD(in) bDepth;  // depth = x + y / along; z texel's size per metre along

// 2x2 texels, compared and then mixed. The place is moved off its surface by the size of a texel against self-shadowing.
float litSurface(vec3 place, vec3 n) {
  vec3 right = cross(bAxis.xyz, bUp.xyz);
  vec3 away = place - bApex.xyz;
  float along = dot(away, bAxis.xyz);
  away += n * (0.004 + 1.5 * bDepth.z * along);
  along = dot(away, bAxis.xyz);
  if (along <= 0.0) return 1.0;
  vec2 p = vec2(dot(away, right), dot(away, bUp.xyz)) / along * bTile.xy + bTile.zw;
  float depth = bDepth.x + bDepth.y / along;
  vec4 tap = step(vec4(depth), textureGather(shadowAtlas, p));
  vec2 f = fract(p * vec2(textureSize(shadowAtlas, 0)) - 0.5);
  return mix(mix(tap.w, tap.z, f.x), mix(tap.x, tap.y, f.x), f.y);
}
#endif
