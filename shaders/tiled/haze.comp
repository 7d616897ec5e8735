// Light of one kind of beams in the haze, a workgroup a tile. The light itself: include/hazelight.glsl.
layout(local_size_x = THREADS) in; // SIDE x SIDE, which is TILE / HAZE_SCALE
#include "include/view.glsl"
#include "include/hazelight.glsl"
#include "tiled/tiles.glsl"
#include "tiled/load.glsl"
#include "tiled/place.glsl"
uniform sampler2D distanceMap;
uniform ivec4 kind; // first word, words, 1 where what is there is written over
#if HAZE_SCALE == 1
layout(rgba32f, binding = 0) uniform image2D radiance;
#else
layout(rgba16f, binding = 0) uniform image2D radiance;
#endif

void main() {
  ivec2 tile = ivec2(gl_WorkGroupID.xy);
  int list = (tile.y * grid.x + tile.x) * grid.z + kind.x;
  uint any_ = uint(kind.z);
  for (int w = 0; w < kind.y; w++) any_ |= lists[list + w];
  if (any_ == 0u) return;
  ivec2 small = tileCorner(tile) / HAZE_SCALE + placeIn(int(gl_LocalInvocationIndex), SIDE);
  if (any(greaterThanEqual(small, imageSize(radiance)))) return;
  // At a fraction of the resolution a thread stands for the middle pixel of its block.
  ivec2 at = min(small * HAZE_SCALE + HAZE_SCALE / 2, ivec2(size.xy) - 1);
#if HAZE_SCALE == 1
  if (!asked(at)) return;
#endif
  vec3 d = rayAt(vec2(at) + 0.5);
  float seen = texelFetch(distanceMap, at, 0).r;
  vec3 sum = vec3(0.0), light;
  for (int w = 0; w < kind.y; w++) {
    for (uint left = lists[list + w]; left != 0u; left &= left - 1u) {
      loadBeam(hulls[32 * (kind.x + w) + findLSB(left)].beam);
      if (hazeAlong(d, seen, light)) sum += light;
    }
  }
  vec4 before = kind.z != 0 ? vec4(0.0) : imageLoad(radiance, small);
  imageStore(radiance, small, before + vec4(sum, 0.0));
}
