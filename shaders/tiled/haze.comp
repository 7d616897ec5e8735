// Light of one kind of beams in the haze: a workgroup a part of a tile (SIDE cells a side) and a share of its list. The light: include/hazelight.glsl.
layout(local_size_x = THREADS) in; // SIDE x SIDE
#include "include/view.glsl"
#include "include/hazelight.glsl"
#include "tiled/tiles.glsl"
#include "include/beamload.glsl"
#include "tiled/shares.glsl"
uniform sampler2D distanceMap;
uniform ivec4 kind; // first word, words, first share

void main() {
  const int parts = TILE / HAZE_SCALE / SIDE;
  ivec2 place = ivec2(gl_WorkGroupID.xy);
  ivec2 tile = ivec2(place.x / parts, place.y / parts + band.x);
  int share = int(gl_WorkGroupID.z), shares_ = int(gl_NumWorkGroups.z);
  int list = (tile.y * grid.x + tile.x) * grid.z + kind.x;
  int w = kind.y * share / shares_, last = kind.y * (share + 1) / shares_;
  ivec2 inBand = place * SIDE + placeIn(int(gl_LocalInvocationIndex), SIDE);
  ivec2 small = tileCorner(ivec2(0, band.x)) / HAZE_SCALE + inBand;
  // At a fraction of the resolution a thread stands for the middle pixel of its block.
  ivec2 at = min(small * HAZE_SCALE + HAZE_SCALE / 2, ivec2(size) - 1);
  vec3 d = rayAt(vec2(at) + 0.5);
  float seen = texelFetch(distanceMap, at, 0).r;
  vec3 sum = vec3(0.0), light;
  for (; w < last; w++) {
    for (uint left = lists[list + w]; left != 0u; left &= left - 1u) {
      loadBeam(hulls[32 * (kind.x + w) + findLSB(left)].beam);
      if (hazeAlong(d, seen, light)) sum += light;
    }
  }
  shares[shareAt(kind.z + share, inBand)] = vec4(sum, 0.0);
}
