// Empties tiles of the shadow atlas: an instance a tile, as far away as can be. A GPU's own clear of a part of a texture is a task by itself; this is one for all.
uniform samplerBuffer sourceRows; // by Shadows/ShadowPass.cs: low corner and side of a tile, in the atlas' clip space

void main() {
  vec4 tile = texelFetch(sourceRows, gl_InstanceID);
  gl_Position = vec4(tile.xy + tile.z * vec2(gl_VertexID & 1, gl_VertexID >> 1), 1.0, 1.0);
}
