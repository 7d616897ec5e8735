// Adds up the shares of each cell of the haze, onto the radiance at the eye or, at a fraction of the resolution, into the small picture.
layout(local_size_x = 8, local_size_y = 8) in;
#include "tiled/tiles.glsl"
#include "tiled/shares.glsl"
#if HAZE_SCALE == 1
layout(rgba32f, binding = 0) uniform image2D radiance;
#else
layout(rgba16f, binding = 0) uniform image2D radiance;
#endif

void main() {
  ivec2 inBand = ivec2(gl_GlobalInvocationID.xy);
  ivec2 at = tileCorner(ivec2(0, band.x)) / HAZE_SCALE + inBand;
  if (any(greaterThanEqual(inBand, band.yz)) || any(greaterThanEqual(at, imageSize(radiance)))) return;
#if HAZE_SCALE == 1
  if (!asked(at)) return;
  vec4 sum = imageLoad(radiance, at);
#else
  vec4 sum = vec4(0.0);
#endif
  for (int i = 0; i < band.w; i++) sum += shares[shareAt(i, inBand)];
  imageStore(radiance, at, sum);
}
