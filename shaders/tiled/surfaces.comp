// Light of one kind of beams on the surfaces, a workgroup a quarter of a tile. The light itself: include/surfacelight.glsl.
layout(local_size_x = 64) in;
#include "include/view.glsl"
#include "include/surfacelight.glsl"
#include "tiled/tiles.glsl"
#include "include/beamload.glsl"
#include "tiled/shares.glsl"
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;
uniform ivec4 kind; // first word, words
layout(rgba32f, binding = 0) uniform image2D radiance;

void main() {
  ivec2 tile = ivec2(gl_WorkGroupID.xy) / 2;
  int list = (grid.x * grid.y + tile.y * grid.x + tile.x) * grid.z + kind.x;
  uint any_ = 0u;
  for (int w = 0; w < kind.y; w++) any_ |= lists[list + w];
  if (any_ == 0u) return;
  ivec2 at = tileCorner(ivec2(0)) + 8 * ivec2(gl_WorkGroupID.xy) + placeIn(int(gl_LocalInvocationIndex), 8);
  if (!asked(at)) return;
  float t = texelFetch(distanceMap, at, 0).r;
  if (t >= nothing) return;
  vec3 place = eye.xyz + t * rayAt(vec2(at) + 0.5);
  vec3 n = texelFetch(normalMap, at, 0).xyz;
  vec3 sum = vec3(0.0);
  for (int w = 0; w < kind.y; w++) {
    for (uint left = lists[list + w]; left != 0u; left &= left - 1u) {
      loadBeam(hulls[32 * (kind.x + w) + findLSB(left)].beam);
      float f = reaching(place);
      if (f > 0.0) sum += lightOn(place, n, t, f);
    }
  }
  vec4 before = imageLoad(radiance, at);
  imageStore(radiance, at, before + vec4(sum * texelFetch(albedoMap, at, 0).rgb / PI, 0.0));
}
