namespace StageView.Render.Layout;

/// <summary>A value in a row or block.</summary>
/// <param name="Name">Such as <c>CosSquared</c>; of a struct within, its own name and the value's.</param>
/// <param name="Type">In GLSL.</param>
/// <param name="Offset">Bytes from the beginning.</param>
/// <param name="Bytes">Its size.</param>
internal readonly record struct Column(string Name, string Type, int Offset, int Bytes)
{
    /// <summary>The row of four floats that it begins in.</summary>
    public int Row => Offset / ShaderStruct.RowBytes;
}
