// Whether light of the fragment's beam reaches a place. Needs beamlight.glsl. Tiles are drawn by Shadows/ShadowPass.cs.
#ifdef SHADOWS
uniform sampler2D shadowAtlas;
BEAM_FIELD(in) bTile;   // (right, up) / along * xy + zw is the place in the atlas, 0..1
BEAM_FIELD(in) bDepth;  // depth = x + y / along; z texel's size per metre along

// 2x2 texels, compared and then mixed. The place is moved off its surface by the size of a texel against self-shadowing.
float litSurface(vec3 place, vec3 n) {
  vec3 away = place - bApex.xyz;
#if defined(OMNI) && !defined(AFTER_MIRROR)
  // A whole lamp: the rows of its six sides (Beams/BeamShape.cs) come before its own.
  vec3 far = abs(away);
  bvec3 most = bvec3(far.x >= far.y && far.x >= far.z, far.x < far.y && far.y >= far.z, max(far.x, far.y) < far.z);
  vec3 axis = vec3(most) * sign(away), up = most.z ? vec3(1.0, 0.0, 0.0) : vec3(0.0, 0.0, 1.0);
  int side = (most.x ? 0 : most.y ? 2 : 4) + (dot(axis, vec3(1.0)) < 0.0 ? 1 : 0);
  int row = int(bMore.w) - (6 - side) * BEAM_ROWS;
  vec4 end = texelFetch(beamRows, row + 6), tile = texelFetch(beamRows, row + 10), depths = texelFetch(beamRows, row + 11);
  if (dot(end.xyz, place) + end.w < -0.002) return 0.0;
  if (tile.x == 0.0) return 1.0;
#else
  vec3 axis = bAxis.xyz, up = bUp.xyz;
  vec4 tile = bTile, depths = bDepth;
#endif
  vec3 right = cross(axis, up);
  float along = dot(away, axis);
  away += n * (0.004 + 1.5 * depths.z * along);
  along = dot(away, axis);
  if (along <= 0.0) return 1.0;
  vec2 p = vec2(dot(away, right), dot(away, up)) / along * tile.xy + tile.zw;
  float depth = depths.x + depths.y / along;
  vec4 tap = step(vec4(depth), textureGather(shadowAtlas, p));
  vec2 f = fract(p * vec2(textureSize(shadowAtlas, 0)) - 0.5);
  return mix(mix(tap.w, tap.z, f.x), mix(tap.x, tap.y, f.x), f.y);
}
#endif
