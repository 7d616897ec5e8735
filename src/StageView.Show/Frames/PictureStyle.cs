using System.Globalization;
using StageView.Light.Sampling;
using StageView.Render.Aids;
using StageView.Render.Settings;

namespace StageView.Show.Frames;

/// <summary>How a picture file is written.</summary>
public enum PictureFormat
{
    /// <summary>8-bit PNG as a screen shows it.</summary>
    Png,

    /// <summary>16-bit linear PNG.</summary>
    LinearPng,

    /// <summary>OpenEXR, 32-bit float, cd/m².</summary>
    Exr,

    /// <summary>OpenEXR, 16-bit float.</summary>
    ExrHalf,
}

/// <summary>What is asked of a picture beside moment, camera and size.</summary>
public sealed record PictureStyle
{
    public const string ShowHelp =
        "Reading aids painted on the picture, with commas between: names, axes, landings, universes, exposure, lux; or all (without lux)";

    public const string ExposureHelp =
        "camera (the camera's own exposure value), metered (the brightest 1 % of the pixels just saturate; never for frames that are compared), or an "
        + "exposure value such as 8.5";

    public const string DetailHelp =
        "How finely light is worked out: sketch (where the processor draws, at every fourth pixel of each row and column, elsewhere a draft), draft (in haze "
        + "about 2 % off, edges of thin beams more, and of shadows), normal (.3 %) or fine (.03 %)";

    public const string SamplesHelp = "--samples takes 1 to 1024: a frame is then the mean of so many, and takes so many times as long";

    public static PictureStyle Plain { get; } = new();

    public ReadingAids Aids { get; init; }

    /// <summary>Even work light, lx; 0 for none.</summary>
    public float WorkLightLux { get; init; }

    /// <summary>The exposure value instead of the camera's, or null.</summary>
    public float? Ev100 { get; init; }

    public bool Metered { get; init; }

    /// <summary>How finely the light in the haze is worked out.</summary>
    public RenderQuality Detail { get; init; } = RenderQuality.Normal;

    /// <summary>A draft whose light is coarser still where the processor draws (<see cref="RenderSettings.Coarse"/>).</summary>
    public bool Sketch { get; init; }

    /// <summary>Mirrors deep that are looked into: 1 shows the room in mirrors, 2 mirrors in mirrors.</summary>
    public int MirrorDepth { get; init; } = 1;

    /// <summary>Samples that a frame is the mean of, 1 to <see cref="FrameSample.Most"/>.</summary>
    public int Samples { get; init; } = 1;

    /// <summary>Whether surfaces show what other matt surfaces throw on them.</summary>
    public bool Indirect { get; init; }

    public PictureFormat Format { get; init; }

    public string Extension => Format is PictureFormat.Exr or PictureFormat.ExrHalf ? ".exr" : ".png";

    /// <summary>Two styles with the same text give the same pictures.</summary>
    public string Stamp => string.Create(
        CultureInfo.InvariantCulture,
        $"aids {(int)Aids}, work light {WorkLightLux:R}, exposure "
        + $"{(Metered ? "metered" : Ev100?.ToString("R", CultureInfo.InvariantCulture) ?? "camera")}"
        + $"{(Detail == RenderQuality.Normal ? "" : ", " + Detail)}{(Sketch ? ", sketch" : "")}{(MirrorDepth == 1 ? "" : $", mirrors {MirrorDepth} deep")}"
        + $"{(Indirect ? ", indirect" : "")}{(Samples == 1 ? "" : $", {Samples} samples")}");

    /// <summary>Reads the options' words.</summary>
    /// <exception cref="StopException">A word that isn't known, or words that exclude each other.</exception>
    public static PictureStyle Parse(string? show, double? workLight, string? exposure, string? format, string? detail = null, int? mirrorDepth = null,
        int? samples = null)
    {
        var style = new PictureStyle
        {
            Aids = AidsOf(show),
            WorkLightLux = workLight switch
            {
                null => 0,
                >= 0 and <= 10_000 => (float)workLight,
                _ => throw StopException.Wrong("--work-light takes lux from 0 to 10000"),
            },
            MirrorDepth = mirrorDepth switch
            {
                null => 1,
                >= 0 and <= 4 => mirrorDepth.Value,
                _ => throw StopException.Wrong("--mirror-depth takes 0 (mirrors stay black) to 4"),
            },
            Samples = samples switch
            {
                null => 1,
                >= 1 and <= FrameSample.Most => samples.Value,
                _ => throw StopException.Wrong(SamplesHelp),
            },
            Detail = detail switch
            {
                null or "normal" => RenderQuality.Normal,
                "draft" or "sketch" => RenderQuality.Draft,
                "fine" => RenderQuality.Fine,
                _ => throw StopException.Wrong($"--detail {detail} is not known: write sketch, draft, normal or fine"),
            },
            Sketch = detail == "sketch",
            Format = format switch
            {
                null or "png" => PictureFormat.Png,
                "linear-png" => PictureFormat.LinearPng,
                "exr" => PictureFormat.Exr,
                "exr-half" => PictureFormat.ExrHalf,
                _ => throw StopException.Wrong($"--format {format} is not known: write png, linear-png, exr or exr-half"),
            },
        };
        style = exposure switch
        {
            null or "camera" => style,
            "metered" => style with { Metered = true },
            _ when float.TryParse(exposure, NumberStyles.Float, CultureInfo.InvariantCulture, out var ev) && ev is >= -10 and <= 24 =>
                style with { Ev100 = ev },
            _ => throw StopException.Wrong($"--exposure {exposure} is none: write {ExposureHelp}"),
        };
        return style.Aids != ReadingAids.None && style.Format != PictureFormat.Png
            ? throw StopException.Wrong("reading aids are painted on pictures for a screen: leave out --show, or --format")
            : style;
    }

    private static ReadingAids AidsOf(string? show)
    {
        var aids = ReadingAids.None;
        foreach (var word in (show ?? "").Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            aids |= word switch
            {
                "names" => ReadingAids.Names,
                "axes" => ReadingAids.Axes,
                "landings" => ReadingAids.Landings,
                "universes" => ReadingAids.Universes,
                "exposure" => ReadingAids.Exposure,
                "lux" => ReadingAids.Illuminance,
                "all" => ReadingAids.Names | ReadingAids.Axes | ReadingAids.Landings | ReadingAids.Universes | ReadingAids.Exposure,
                _ =>
                    throw StopException.Wrong($"--show {word} is not known: write names, axes, landings, universes, exposure, lux or all, with commas between"),
            };
        }

        return aids;
    }
}
