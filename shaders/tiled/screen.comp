// composite.frag in compute.
layout(local_size_x = 8, local_size_y = 8) in;
#include "include/screen.glsl"
layout(rgba8, binding = 0) uniform writeonly image2D screen;

void main() {
  ivec2 at = ivec2(gl_GlobalInvocationID.xy);
  if (all(lessThan(at, imageSize(screen)))) imageStore(screen, at, vec4(screenAt(at), 1.0));
}
