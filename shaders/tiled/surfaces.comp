// Light of one kind of beams on the surfaces, a workgroup a quarter of a tile. The light itself: include/surfacelight.glsl.
layout(local_size_x = 64) in;
#include "include/view.glsl"
#include "include/surfacelight.glsl"
#ifdef SHINY
#include "include/gloss.glsl"
#endif
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
#ifdef SHINY
  vec3 toEye = normalize(eye.xyz - place);
  vec4 surface = texelFetch(albedoMap, at, 0);
  float rough = texelFetch(normalMap, at, 0).w;
#endif
  for (int w = 0; w < kind.y; w++) {
    for (uint left = lists[list + w]; left != 0u; left &= left - 1u) {
      loadBeam(hulls[32 * (kind.x + w) + findLSB(left)].beam);
      float f = reaching(place);
#ifdef SHINY
      if (f > 0.0) sum += thrown(lightOn(place, n, t, f), -normalize(nearWay(place - beamApex)), n, toEye, surface, rough);
#else
      if (f > 0.0) sum += lightOn(place, n, t, f);
#endif
    }
  }
  vec4 before = imageLoad(radiance, at);
#ifdef SHINY
  imageStore(radiance, at, before + vec4(sum, 0.0));
#else
  imageStore(radiance, at, before + vec4(sum * texelFetch(albedoMap, at, 0).rgb / PI, 0.0));
#endif
}
