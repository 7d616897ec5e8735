// areaup.frag in compute.
layout(local_size_x = 8, local_size_y = 8) in;
#include "include/view.glsl"
#include "include/areaup.glsl"
uniform ivec4 area;
layout(rgba32f, binding = 0) uniform image2D radiance;

void main() {
  ivec2 at = area.xy + ivec2(gl_GlobalInvocationID.xy);
  if (any(greaterThanEqual(at, area.xy + area.zw))) return;
  vec3 light;
  if (areaLightAt(at, light)) imageStore(radiance, at, imageLoad(radiance, at) + vec4(light, 0.0));
}
