// Whether light of the fragment's beam reaches a place. Needs beamlight.glsl. Tiles are drawn by Shadows/ShadowPass.cs.
#ifdef SHADOWS
uniform sampler2D shadowAtlas;

// 2x2 texels, compared and then mixed. The place is moved off its surface by the size of a texel against self-shadowing.
float litSurface(vec3 place, vec3 n) {
  vec3 away = place - beamApex;
#if defined(OMNI) && !defined(AFTER_MIRROR)
  // A whole lamp: the rows of its six sides (Stops/BeamShape.cs) come before its own.
  vec3 far = abs(away);
  bvec3 most = bvec3(far.x >= far.y && far.x >= far.z, far.x < far.y && far.y >= far.z, max(far.x, far.y) < far.z);
  vec3 axis = vec3(most) * sign(away), up = most.z ? vec3(1.0, 0.0, 0.0) : vec3(0.0, 0.0, 1.0);
  int side = (most.x ? 0 : most.y ? 2 : 4) + (dot(axis, vec3(1.0)) < 0.0 ? 1 : 0);
  int first = int(beamFirst.x) - (6 - side) * BEAM_ROWS;
  // From here on the side's, not the lamp's.
  vec4 beamShadowTileRow = texelFetch(beamRows, first + BEAM_SHADOW_TILE_ROW), beamShadowDepthOffsetRow = texelFetch(beamRows, first + BEAM_SHADOW_DEPTH_OFFSET_ROW);
  vec4 end = beamEndOf(first);
  if (dot(end.xyz, place) + end.w < -0.002) return 0.0;
  if (beamShadowTile.x == 0.0) return 1.0;
#else
  vec3 axis = beamAxis, up = beamUp;
#endif
  vec3 right = cross(axis, up);
  float along = dot(away, axis);
  away += n * (0.004 + 1.5 * beamShadowTexel * along);
  along = dot(away, axis);
  if (along <= 0.0) return 1.0;
  vec2 p = vec2(dot(away, right), dot(away, up)) / along * beamShadowTile.xy + beamShadowTile.zw;
  float depth = beamShadowDepthOffset + beamShadowDepthSlope / along;
  vec4 tap = step(vec4(depth), textureGather(shadowAtlas, p));
  vec2 f = fract(p * vec2(textureSize(shadowAtlas, 0)) - 0.5);
  return mix(mix(tap.w, tap.z, f.x), mix(tap.x, tap.y, f.x), f.y);
}
#endif
