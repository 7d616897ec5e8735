using System.Text;
using StageView.Render.Layout;

namespace StageView.Render.Resources;

/// <summary>
/// GLSL from the embedded <c>shaders/</c> folder: <c>#include "path"</c> (from the folder's root, each file once; <c>layout/</c> is made from
/// <see cref="ShaderLayouts"/>) and defines are resolved here.
/// </summary>
internal static class ShaderText
{
    private const string Prefix = "shaders/";

    /// <param name="source">Such as <c>haze.frag</c>.</param>
    /// <param name="defines">Names defined as 1 or as <c>NAME VALUE</c>.</param>
    public static string Load(ShaderSource source, params ReadOnlySpan<string> defines)
    {
        var text = new StringBuilder("#version 410 core\n");
        foreach (var define in defines)
        {
            text.Append("#define ").Append(define.Contains(' ', StringComparison.Ordinal) ? define : define + " 1").Append('\n');
        }

        if (source.Text is { } own)
        {
            using var lines = new StringReader(own);
            Append(text, lines, [source.Name]);
        }
        else
        {
            Append(text, source.Name, []);
        }

        return text.ToString();
    }

    private static void Append(StringBuilder text, string name, HashSet<string> seen)
    {
        if (!seen.Add(name))
        {
            return;
        }

        if (ShaderLayouts.Of(name) is { } made)
        {
            text.Append(made);
            return;
        }

        using var stream = typeof(ShaderText).Assembly.GetManifestResourceStream(Prefix + name)
            ?? throw new InvalidOperationException($"the shader {name} is not embedded");
        using var reader = new StreamReader(stream);
        Append(text, reader, seen);
    }

    private static void Append(StringBuilder text, TextReader reader, HashSet<string> seen)
    {
        while (reader.ReadLine() is { } line)
        {
            var trimmed = line.AsSpan().Trim();
            if (trimmed.StartsWith("#include", StringComparison.Ordinal))
            {
                Append(text, trimmed["#include".Length..].Trim().Trim('"').ToString(), seen);
            }
            else
            {
                text.Append(line).Append('\n');
            }
        }
    }
}
