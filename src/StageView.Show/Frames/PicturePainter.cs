using StageView.Ground.Indices;
using StageView.Light.Interreflection;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render;
using StageView.Render.Aids;
using StageView.Render.Output;
using StageView.Render.Settings;
using StageView.Rig.Pieces;
using StageView.Stage;

namespace StageView.Show.Frames;

/// <summary>Draws moments in a style: exposure, work light, reading aids, file format.</summary>
public sealed class PicturePainter(FrameRenderer renderer, RigScene rig, PictureStyle style)
{
    private readonly MattSolver _matt = new();

    /// <summary>What bounds left out of any picture so far, each text once.</summary>
    public IReadOnlyCollection<string> LeftOut => renderer.LeftOut;

    /// <summary>The finished picture of a time.</summary>
    public PixelImage Draw(StageModel stage, TimeSpan at, Camera camera, FrameSize size)
    {
        var settings = Settings(Whole(stage, at, camera), size);
        camera = Exposed(stage, at, camera, settings);
        var wantsLinear = style.Aids.HasFlag(ReadingAids.Exposure);
        var frame = Render(stage, at, camera, settings with { Linear = wantsLinear });
        return style.Aids == ReadingAids.None && style.WorkLightLux == 0 && !style.Indirect
            ? frame.Screen!
            : AidPainter.Paint(frame.Screen!, Input(Whole(stage, at, camera), camera, size, frame), style.Aids);
    }

    /// <summary>Draws and writes one file in the style's format.</summary>
    public void Write(StageModel stage, TimeSpan at, Camera camera, FrameSize size, string file)
    {
        if (Path.GetDirectoryName(Path.GetFullPath(file)) is { } folder)
        {
            Directory.CreateDirectory(folder);
        }

        if (style.Format == PictureFormat.Png)
        {
            PngPicture.Write(file, Draw(stage, at, camera, size));
            return;
        }

        var settings = Settings(Whole(stage, at, camera), size);
        camera = Exposed(stage, at, camera, settings);
        var linear = Render(stage, at, camera, settings with { Linear = true, Screen = false }).Linear!;
        switch (style.Format)
        {
            case PictureFormat.LinearPng:
                // Two stops above what the exposure lets saturate.
                LinearPng.Write(file, linear, 4 * Exposure.SaturationLuminance(camera.Ev100));
                break;
            case PictureFormat.ExrHalf:
                ExrPicture.Write(file, linear, ExrPixelType.Bits16);
                break;
            default:
                ExrPicture.Write(file, linear);
                break;
        }
    }

    private RenderSettings Settings(Moment moment, FrameSize size) => new()
    {
        Width = size.Width,
        Height = size.Height,
        WorkLightLux = style.WorkLightLux,
        Quality = style.Detail,
        Coarse = style.Sketch && renderer.Context.IsSoftware,
        MirrorDepth = style.MirrorDepth,
        Indirect = style.Indirect ? _matt.Solve(moment) : null,
    };

    private static Moment Whole(StageModel stage, TimeSpan at, Camera camera) => stage.MomentAt(at, TimeSpan.FromSeconds(camera.ShutterSeconds));

    private RenderedFrame Render(StageModel stage, TimeSpan at, Camera camera, RenderSettings settings) => style.Samples == 1
        ? renderer.Render(Whole(stage, at, camera), camera, settings)
        : renderer.Render(sample => stage.SampleAt(at, TimeSpan.FromSeconds(camera.ShutterSeconds), sample), style.Samples, camera, settings);

    private Camera Exposed(StageModel stage, TimeSpan at, Camera camera, RenderSettings settings)
    {
        if (style.Ev100 is { } ev)
        {
            return camera with { Ev100 = ev };
        }

        if (!style.Metered)
        {
            return camera;
        }

        var metered = settings with { Linear = true, Screen = false };
        return camera with { Ev100 = Exposure.Meter(renderer.Render(Whole(stage, at, camera), camera, metered).Linear!, camera.Ev100) };
    }

    private AidInput Input(Moment moment, Camera camera, FrameSize size, RenderedFrame frame)
    {
        var wanted = style.Aids & (ReadingAids.Axes | ReadingAids.Landings | ReadingAids.Illuminance);
        var scene = wanted == ReadingAids.None ? null : OcclusionScene.From(moment);
        return new AidInput
        {
            Moment = moment,
            Camera = camera,
            Fixtures = AidFixtures.Of(rig, moment),
            Landings = scene is null ? [] : Lands(moment, scene),
            Linear = frame.Linear,
            LeftOut = frame.LeftOut,
            Lux = style.Aids.HasFlag(ReadingAids.Illuminance) ? LuxView.Measure(moment, scene!, camera, size) : null,
            WorkLight = style.WorkLightLux > 0,
            Indirect = style.Indirect,
        };
    }

    private static List<Landing> Lands(Moment moment, OcclusionScene scene)
    {
        var meter = new LightMeter(moment, scene);
        var found = new List<Landing>();
        for (var i = 0; i < moment.Beams.Length; i++)
        {
            if (Landings.TryFind(meter, scene, new BeamIndex(i), out var landing))
            {
                found.Add(landing);
            }
        }

        return found;
    }
}
