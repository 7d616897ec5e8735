using System.Globalization;
using StageView.Render.Resources;

namespace StageView.Benchmarks;

/// <summary>The naive way to draw haze that the real one is measured beside: even steps along the ray.</summary>
internal static class NaiveHaze
{
    private static readonly string Text = Read();

    /// <param name="steps">Along each ray through a beam.</param>
    public static ShaderSource Of(int steps) => new($"march{steps}", string.Create(CultureInfo.InvariantCulture, $"#define MARCH {steps}\n{Text}"));

    private static string Read()
    {
        using var stream = typeof(NaiveHaze).Assembly.GetManifestResourceStream("march.frag")!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
