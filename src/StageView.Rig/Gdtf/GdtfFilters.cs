using System.Numerics;
using System.Xml.Linq;
using StageView.Light.Colour;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>
/// Reads filters. Measured points are the light behind the filter (W/m²/nm), so the transmission is that light over the beam's own,
/// scaled to the stated Transmission. Where only a Color is given, a smooth curve that gives this colour stands for it.
/// </summary>
internal sealed class GdtfFilters
{
    private const int MaxFilters = 512;
    private const float BlueEnds = 490, GreenEnds = 580, Soft = 8;
    private readonly float[] _source;
    private readonly Vector3 _open;
    private readonly List<string> _notUnderstood;

    /// <param name="source">The beam's own light in bands.</param>
    /// <param name="notUnderstood">Told of what can't be used.</param>
    public GdtfFilters(float[] source, List<string> notUnderstood)
    {
        _source = source;
        _open = Spectra.XyzOfBands(source);
        _notUnderstood = notUnderstood;
    }

    public List<FilterData> Read(XElement? holder) => [.. (holder?.Elements("Filter") ?? []).Take(MaxFilters).Select(One)];

    private FilterData One(XElement f)
    {
        var name = f.Attr("Name");
        var measured = GdtfMeasurement.Read(f);
        var full = measured.LastOrDefault(m => m.Xyz.Y > 0);
        var colour = GdtfValues.Colour(f.Attr("Color"));
        if (full is null && colour is null)
        {
            _notUnderstood.Add($"filter {name}: it has neither a visible spectrum nor a Color (x, y, Y); it lets everything through");
        }

        var bands = full is not null ? OfSpectrum(full, colour) : colour is { } c ? OfColour(c) : [.. _source.Select(_ => 1f)];
        var passed = _source.Zip(bands, (s, b) => s * b).ToArray();
        var rgb = full is null && colour is { } stated
            ? GdtfValues.Transmission(stated)
            : Chromaticity.XyzToRec709(Spectra.XyzOfBands(passed)) / Vector3.Max(new Vector3(1e-6f), Chromaticity.XyzToRec709(_open));
        return new FilterData(name, rgb, bands, Insertions(measured));
    }

    private float[] OfSpectrum(GdtfMeasurement full, (float X, float Y, float Luminance)? colour)
    {
        var behind = Spectra.Bands(full.Points);
        var bands = behind.Select((e, i) => _source[i] > 1e-6f ? e / _source[i] : 0).ToArray();
        var luminous = Spectra.XyzOfBands([.. bands.Select((b, i) => b * _source[i])]).Y / _open.Y;
        var stated = full.Transmission >= 0 ? full.Transmission : colour is { } c ? Math.Clamp(c.Luminance / 100, 0, 1) : -1;

        // Without a stated total, the clearest band lets all through.
        var scale = stated >= 0 && luminous > 0 ? stated / luminous : 1 / Math.Max(1e-9f, bands.Max());
        return [.. bands.Select(b => Math.Clamp(b * scale, 0, 1))];
    }

    /// <summary>Shares of three soft-edged bands whose sum, behind the filter, is the colour; cut to what a filter can do.</summary>
    private float[] OfColour((float X, float Y, float Luminance) c)
    {
        // The stated colour is relative to D65 white of luminance 100: the same share of each component of the beam's own white.
        var wanted = Chromaticity.Rec709ToXyz(GdtfValues.Transmission(c) * Chromaticity.XyzToRec709(_open));
        var parts = (float[][])[Part(i => Below(i, BlueEnds)), Part(i => Below(i, GreenEnds) - Below(i, BlueEnds)), Part(i => 1 - Below(i, GreenEnds))];
        var xyz = parts.Select(p => Spectra.XyzOfBands([.. p.Zip(_source, (a, b) => a * b)])).ToArray();
        var det = Vector3.Dot(xyz[0], Vector3.Cross(xyz[1], xyz[2]));
        var share = Vector3.Clamp(
            new Vector3(
                Vector3.Dot(wanted, Vector3.Cross(xyz[1], xyz[2])),
                Vector3.Dot(xyz[0], Vector3.Cross(wanted, xyz[2])),
                Vector3.Dot(xyz[0], Vector3.Cross(xyz[1], wanted))) / det,
            Vector3.Zero,
            Vector3.One);
        return [.. _source.Select((_, i) => (share.X * parts[0][i]) + (share.Y * parts[1][i]) + (share.Z * parts[2][i]))];
    }

    /// <summary>How far the filter acts at a share of its travel: by the light it takes, so that all measured totals are met.</summary>
    private static List<Vector2> Insertions(List<GdtfMeasurement> measured)
    {
        var insertions = new List<Vector2>();
        if (measured.Count(m => m.At > 0) < 2 || measured.Exists(m => m.Transmission < 0) || measured[^1].Transmission >= 1)
        {
            return insertions;
        }

        var before = new Vector2(0, 1);
        foreach (var m in measured.Where(m => m.At > 0))
        {
            var here = new Vector2(m.At, m.Transmission);
            insertions.AddRange(m.Stretch(before, here));
            before = here;
        }

        return [.. insertions.Select(p => new Vector2(p.X, Math.Clamp((1 - p.Y) / (1 - before.Y), 0, 1)))];
    }

    private static float[] Part(Func<float, float> of) => [.. Enumerable.Range(0, CieObserver.Count).Select(i => of(CieObserver.Nanometres(i)))];

    private static float Below(float nanometres, float edge) => 1 / (1 + MathF.Exp((nanometres - edge) / Soft));
}
