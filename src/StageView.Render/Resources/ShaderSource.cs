namespace StageView.Render.Resources;

/// <summary>A shader: one of the embedded ones, or another with a text of its own, which may include those.</summary>
/// <param name="Name">Such as <c>haze.frag</c>; tells one text from another.</param>
/// <param name="Text">GLSL without a version, or null for the embedded file of this name.</param>
internal readonly record struct ShaderSource(string Name, string? Text = null)
{
    public static implicit operator ShaderSource(string name) => new(name);
}
