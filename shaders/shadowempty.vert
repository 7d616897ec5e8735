// Empties tiles of the shadow atlas: an instance a tile, as far away as can be. A GPU's own clear of a part of a texture is a task by itself; this is one for all.
uniform samplerBuffer sourceRows; // Layout/EmptyTileRows.cs, filled by Shadows/ShadowPass.cs
#include "layout/emptytile.glsl"

void main() {
  vec4 emptyTileCornerRow = texelFetch(sourceRows, gl_InstanceID * EMPTY_TILE_ROWS + EMPTY_TILE_CORNER_ROW);
  gl_Position = vec4(emptyTileCorner + emptyTileSide * vec2(gl_VertexID & 1, gl_VertexID >> 1), 1.0, 1.0);
}
