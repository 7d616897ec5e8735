// hazefill.frag in compute.
layout(local_size_x = 8, local_size_y = 8) in;
#include "include/view.glsl"
#include "include/hazefill.glsl"
uniform ivec4 area; // of the coarse picture
layout(rgba16f, binding = 0) uniform writeonly image2D radiance;

void main() {
  ivec2 at = area.xy + ivec2(gl_GlobalInvocationID.xy);
  if (all(lessThan(at, min(area.xy + area.zw, imageSize(radiance))))) imageStore(radiance, at, vec4(hazeFillAt(at), 0.0));
}
