// Whether light of the fragment's beam reaches a place. Needs beamlight.glsl. Tiles are drawn by Shadows/ShadowPass.cs.
#ifdef SHADOWS
uniform sampler2D shadowAtlas;
#ifndef SEARCHES
#define SEARCHES 12
#define FILTERS 16
#endif

// 2x2 texels, compared and then mixed; depth at p.
float litTexels(vec2 p, float depth) {
  vec4 tap = step(vec4(depth), textureGather(shadowAtlas, p));
  vec2 f = fract(p * vec2(textureSize(shadowAtlas, 0)) - 0.5);
  return mix(mix(tap.w, tap.z, f.x), mix(tap.x, tap.y, f.x), f.y);
}

#ifndef OMNI
// A lens of real size: how far what stands before a place stands from the lens tells how wide the half-shadow is there (R. Fernando, Percentage-closer soft
// shadows, 2005); its texels are compared with the depth of the surface's own plane at each. q: tangents, inverse: 1 / along, away: n's plane.
float litByLens(vec2 q, float inverse, vec3 away, vec3 n, vec3 axis, vec3 right, vec3 up) {
  float first = max(0.3, beamStart.xyz == vec3(0.0) ? 0.3 : -dot(beamStart.xyz, beamApex) - beamStart.w);
  float widest = beamSoftRadius * (1.0 / first - inverse);
  vec2 texels = 1.0 / vec2(textureSize(shadowAtlas, 0));
  vec2 low = floor((q * beamShadowTile.xy + beamShadowTile.zw) / beamShadowSide) * beamShadowSide + texels, high = low + beamShadowSide - 2.0 * texels;
  float facing = dot(n, away);
  vec2 tilt = abs(facing) > 1e-3 ? vec2(dot(n, right), dot(n, up)) / facing : vec2(0.0);
  float found = 0.0, nearer = 0.0;
  for (int i = 0; i < SEARCHES; i++) {
    float turned = float(i) * 2.39996323;
    vec2 d = widest * sqrt((float(i) + 0.5) / float(SEARCHES)) * vec2(cos(turned), sin(turned));
    vec2 p = clamp((q + d) * beamShadowTile.xy + beamShadowTile.zw, low, high);
    float there = (textureLod(shadowAtlas, p, 0.0).r - beamShadowDepthOffset) / beamShadowDepthSlope;
    bool before = there > max(inverse + dot(tilt, d), 0.0) * 1.001 + 1e-4;
    found += before ? 1.0 : 0.0;
    nearer += before ? there : 0.0;
  }
  if (found == 0.0) return 1.0;
  float wide = max(beamSoftRadius * (nearer / found - inverse), 0.0), lit = 0.0;
  for (int i = 0; i < FILTERS; i++) {
    float turned = float(i) * 2.39996323;
    vec2 d = wide * sqrt((float(i) + 0.5) / float(FILTERS)) * vec2(cos(turned), sin(turned));
    vec2 p = clamp((q + d) * beamShadowTile.xy + beamShadowTile.zw, low, high);
    lit += litTexels(p, beamShadowDepthOffset + beamShadowDepthSlope * max(inverse + dot(tilt, d), 1e-4));
  }
  return lit / float(FILTERS);
}
#endif

// 2x2 texels, or as many as the lens asks for. The place is moved off its surface by the size of a texel against self-shadowing.
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
  vec2 q = vec2(dot(away, right), dot(away, up)) / along;
#ifndef OMNI
  if (beamSoftRadius > 0.0) return litByLens(q, 1.0 / along, away, n, axis, right, up);
#endif
  return litTexels(q * beamShadowTile.xy + beamShadowTile.zw, beamShadowDepthOffset + beamShadowDepthSlope / along);
}
#endif
