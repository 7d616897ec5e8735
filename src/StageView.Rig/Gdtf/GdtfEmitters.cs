using System.Numerics;
using System.Xml.Linq;
using StageView.Light.Colour;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>
/// Reads emitters: chromaticity from the measured spectrum, else from Color, else from the dominant wavelength; output from all intensities, else from Color's
/// Y.
/// </summary>
internal static class GdtfEmitters
{
    private const int MaxEmitters = 256;

    public static (List<Emitter> Emitters, Dictionary<string, LightSource> Sources) Read(XElement? holder, List<string> notUnderstood)
    {
        var read = new List<(string Name, Vector2 At, float Luminance, List<GdtfMeasurement> Measured)>();
        foreach (var e in holder?.Elements("Emitter").Take(MaxEmitters) ?? [])
        {
            var name = e.Attr("Name");
            var measured = GdtfMeasurement.Read(e);
            var spectrum = measured.LastOrDefault(m => m.Xyz.Y > 0);
            var colour = GdtfValues.Colour(e.Attr("Color"));
            var nanometres = GdtfValues.Number(e.Attr("DominantWaveLength"), 0);
            var line = CieObserver.At(nanometres);
            var at = spectrum is not null ? Chromaticity.FromXyz(spectrum.Xyz)
                : colour is { } c ? new Vector2(c.X, c.Y)
                : Chromaticity.FromXyz(line);
            if (at == Vector2.Zero)
            {
                notUnderstood.Add($"emitter {name}: it has no visible spectrum, no Color (x, y, Y) and no visible DominantWaveLength; taken as white");
                at = new Vector2(.3127f, .3290f);
            }

            if (colour is null && measured.TrueForAll(m => m.Intensity <= 0))
            {
                notUnderstood.Add($"emitter {name}: its output is not stated; taken by the eye's response to its wavelength");
            }

            read.Add((name, at, Math.Max(0, colour?.Luminance ?? (line.Y > 0 ? 100 * line.Y : spectrum is null ? 100 : 0)), measured));
        }

        var byIntensity = read.Count > 0 && read.TrueForAll(e => e.Measured.Count > 0 && e.Measured[^1].Intensity > 0);
        var weights = read.Select(e => byIntensity ? e.Measured[^1].Intensity : e.Luminance).ToArray();
        var sum = weights.Sum();
        var emitters = read.Select((e, i) =>
            new Emitter(e.Name, e.At.X, e.At.Y, sum > 0 ? weights[i] / sum : 1f / read.Count) { Levels = Levels(e.At, e.Measured) }).ToList();
        var sources = new Dictionary<string, LightSource>(StringComparer.Ordinal);
        foreach (var e in read)
        {
            sources.TryAdd(e.Name, new LightSource(e.At, e.Measured.LastOrDefault(m => m.Xyz.Y > 0) is { } m ? Spectra.Bands(m.Points) : null));
        }

        return (emitters, sources);
    }

    /// <summary>Output and chromaticity at the levels that were measured; empty for one measurement, which says nothing of the way there.</summary>
    private static List<EmitterLevel> Levels(Vector2 full, List<GdtfMeasurement> measured)
    {
        static float Output(GdtfMeasurement m) => m.Intensity > 0 ? m.Intensity : m.Xyz.Y;
        var most = measured.Count == 0 ? 0 : Output(measured[^1]);
        var levels = new List<EmitterLevel>();
        if (measured.Count < 2 || most <= 0 || measured.Any(m => (m.Intensity > 0) != (measured[^1].Intensity > 0)))
        {
            return levels;
        }

        var before = Vector2.Zero;
        foreach (var m in measured.Where(m => m.At > 0))
        {
            var at = m.Xyz.Y > 0 ? Chromaticity.FromXyz(m.Xyz) : full;
            var here = new Vector2(m.At, Output(m) / most);
            levels.AddRange(m.Stretch(before, here).Select(p => new EmitterLevel(p.X, at.X, at.Y, p.Y)));
            before = here;
        }

        return levels;
    }
}
