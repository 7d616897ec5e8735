// How far the surfaces of each tile lie, and the box around them.
layout(local_size_x = 256) in;
#include "include/view.glsl"
#include "tiled/tiles.glsl"
uniform sampler2D distanceMap;
shared vec4 low[256];
shared vec4 high[256];

void main() {
  ivec2 tile = ivec2(gl_WorkGroupID.xy);
  int me = int(gl_LocalInvocationIndex);
  ivec2 at = tileCorner(tile) + ivec2(me % TILE, me / TILE);
  vec4 lo = vec4(1e9, 1e9, 1e9, 0.0), hi = vec4(-1e9, -1e9, -1e9, 0.0);
  if (asked(at)) {
    float t = texelFetch(distanceMap, at, 0).r;
    lo.w = t;
    if (t < nothing) {
      vec3 place = eye.xyz + t * rayAt(vec2(at) + 0.5);
      lo.xyz = place;
      hi = vec4(place, 1.0);
    }
  }
  low[me] = lo;
  high[me] = hi;
  for (int half_ = 128; half_ > 0; half_ /= 2) {
    barrier();
    if (me < half_) {
      vec4 l = low[me + half_];
      low[me] = vec4(min(low[me].xyz, l.xyz), max(low[me].w, l.w));
      high[me] = max(high[me], high[me + half_]);
    }
  }
  if (me > 0) return;
  Tile made;
  made.low = low[0].xyz;
  made.farthest = low[0].w;
  made.high = high[0].xyz;
  made.filled = high[0].w;
  tiles[tile.y * grid.x + tile.x] = made;
}
