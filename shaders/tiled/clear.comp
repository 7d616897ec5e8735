// Empties a view's surfaces. Some GPUs' own clears take ten times as long for floats of this many channels.
layout(local_size_x = 8, local_size_y = 8) in;
uniform ivec4 area;
uniform float nothing; // distance where there is no surface, m
layout(rgba32f, binding = 0) uniform writeonly image2D radiance;
layout(rgba16f, binding = 1) uniform writeonly image2D albedo;
layout(rgba16f, binding = 2) uniform writeonly image2D normal;
layout(r32f, binding = 3) uniform writeonly image2D distanceToEye;

void main() {
  ivec2 at = area.xy + ivec2(gl_GlobalInvocationID.xy);
  if (any(greaterThanEqual(at, area.xy + area.zw))) return;
  imageStore(radiance, at, vec4(0.0));
  imageStore(albedo, at, vec4(0.0));
  imageStore(normal, at, vec4(0.0));
  imageStore(distanceToEye, at, vec4(nothing, 0.0, 0.0, 0.0));
}
