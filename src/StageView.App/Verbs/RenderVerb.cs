using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Frames;
using StageView.Show.Sources;
using StageView.Show.Video;

namespace StageView.App.Verbs;

/// <summary><c>stageview render RIG</c>: pictures of a rig at given times.</summary>
internal static class RenderVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var preset = Verb.PresetOption();
        var capture = new Option<string?>("--capture")
        {
            Description = "A capture file (pcap or pcapng) with the console's sACN and Art-Net.", HelpName = "FILE",
        };
        var seek = Verb.SeekOption();
        var listen = new Option<double?>("--listen")
        {
            Description = "Listen to the network for so many seconds, then draw what has arrived.", HelpName = "SECONDS",
        };
        var look = new Option<string?>("--look")
        {
            Description = "A look file instead: fixtures and what they shall do, in physical units.", HelpName = "FILE",
        };
        var at = new Option<string[]>("--at")
        {
            Description = "A time to draw; may be given several times. " + ShowTime.Help + ". Without it: the end of the capture or of the listening.",
            HelpName = "TIME",
        };
        var camera = new Option<string[]>("--camera")
        {
            Description = "A camera of the rig file; may be given several times. Without it: the first.", HelpName = "NAME",
        };
        var size = new Option<string>("--size") { Description = "Width and height in pixels.", HelpName = "WxH", DefaultValueFactory = _ => "1280x720" };
        var output = new Option<string>("--out")
        {
            Description = "A .png or .exr file for one frame, a folder for several, or an .mp4, .mov or .mkv file for a video.",
            HelpName = "PATH",
            Required = true,
        };
        var format = new Option<string?>("--format")
        {
            Description = "png (as a screen shows it), linear-png (16 bit), exr (cd/m², 32-bit float) or exr-half. A file that ends in .exr needs no format.",
            HelpName = "FORMAT",
        };
        var show = new Option<string?>("--show") { Description = PictureStyle.ShowHelp + ".", HelpName = "AIDS" };
        var workLight = new Option<double?>("--work-light")
        {
            Description = "Even work light on every surface, lux, so that a blackout isn't a black picture; the picture says so.", HelpName = "LUX",
        };
        var exposure = new Option<string?>("--exposure") { Description = PictureStyle.ExposureHelp + ".", HelpName = "EV" };
        var detail = new Option<string?>("--detail") { Description = PictureStyle.DetailHelp + ".", HelpName = "LEVEL" };
        var mirrorDepth = new Option<int?>("--mirror-depth")
        {
            Description = "Mirrors deep that are looked into: 0 leaves mirrors black, 1 (when left out) shows the room in them, 2 mirrors in mirrors, up to 4.",
            HelpName = "N",
        };
        var samples = new Option<int?>("--samples")
        {
            Description = "Makes a frame the mean of N, each with its places in the pixels, points of the fixtures' lenses and the camera's, and instant of "
                + "the open shutter: soft edges of shadows and mirrors, no stairs, motion. Takes N times as long; 16 or 64 are usual.",
            HelpName = "N",
        };
        var indirect = Verb.IndirectOption("Light that floors, walls and people throw on each other: on or off (when left out); the picture says so.");
        var inputs = Verb.InputsOption();
        var numbered = new Option<string?>("--numbered")
        {
            Description = "Lays the numbered picture of one of the rig's maps over its pixels instead of content: which pixel is which.", HelpName = "MAP",
        };
        var from = new Option<string>("--from")
        {
            Description = "Video: time of the first frame, written as for --at; 0 when left out.", HelpName = "TIME", DefaultValueFactory = _ => "0",
        };
        var to = new Option<string>("--to")
        {
            Description = "Video: the time before which it ends; the end of the capture when left out.", HelpName = "TIME", DefaultValueFactory = _ => "end",
        };
        var fps = new Option<string>("--fps") { Description = "Video: " + FrameRate.Help + ".", HelpName = "RATE", DefaultValueFactory = _ => "30" };
        var shard = new Option<string>("--shard") { Description = "Video: " + Shard.Help + ".", HelpName = "K/N", DefaultValueFactory = _ => "1/1" };
        var quality = new Option<string>("--quality")
        {
            Description = "Video: small, good or lossless.", HelpName = "QUALITY", DefaultValueFactory = _ => "good",
        };
        var json = Verb.JsonOption();
        var command = new Command("render", "Draws frames of a rig as pictures or as a video, without a display.")
        {
            rig, venue, preset, capture, seek, listen, look, at, camera, size, output, format, show, workLight, exposure, detail, mirrorDepth, samples,
            indirect, numbered, inputs, from, to, fps, shard, quality, json,
        };
        return command.Does(async (parse, stop) =>
        {
            var doubts = 0;
            void Doubt(string text)
            {
                Tell.Note(text);
                doubts++;
            }

            var outPath = parse.GetRequiredValue(output);
            var asked = new RenderRequest
            {
                Rig = parse.GetValue(rig)!,
                Venue = parse.GetValue(venue),
                Preset = parse.GetValue(preset),
                Capture = parse.GetValue(capture),
                Seek = parse.GetValue(seek),
                ListenSeconds = parse.GetValue(listen),
                Look = parse.GetValue(look),
                Times = parse.GetValue(at) ?? [],
                Cameras = parse.GetValue(camera) ?? [],
                Size = FrameSize.TryParse(parse.GetValue(size)!, out var s)
                    ? s
                    : throw StopException.Wrong($"--size {parse.GetValue(size)} is no size: write width x height in pixels, such as 1280x720, each 16 to 8192"),
                Style = PictureStyle.Parse(parse.GetValue(show), parse.GetValue(workLight), parse.GetValue(exposure),
                    parse.GetValue(format) ?? (Path.GetExtension(outPath).Equals(".exr", StringComparison.OrdinalIgnoreCase) ? "exr" : null),
                    parse.GetValue(detail), parse.GetValue(mirrorDepth), parse.GetValue(samples)) with
                {
                    Indirect = Verb.IsIndirect(parse.GetValue(indirect), false),
                },
                Inputs = parse.GetValue(inputs),
                NumberedMap = parse.GetValue(numbered),
                Out = outPath,
            };
            if (VideoRun.IsVideo(outPath))
            {
                var video = Video(parse.GetRequiredValue(from), parse.GetRequiredValue(to), parse.GetRequiredValue(fps), parse.GetRequiredValue(shard),
                    parse.GetRequiredValue(quality), asked);
                await DrawAsync(asked, video, parse.GetValue(json), Doubt, stop).ConfigureAwait(false);
                return doubts > 0 ? Exit.WrongQuestion : Exit.Fine;
            }

            var asJson = parse.GetValue(json);
            var frames = RenderRun.Run(
                asked, asJson ? null : f => Console.WriteLine($"{f.File}  {f.Camera}, {f.Asked}, {Counted.Of(f.Beams, "beam")}"), Tell.Note, Doubt);
            if (asJson)
            {
                Answers.WriteJson(frames);
            }

            return doubts > 0 ? Exit.WrongQuestion : Exit.Fine;
        });
    }

    private static VideoRequest Video(string from, string to, string fps, string shard, string quality, RenderRequest asked)
    {
        if (asked.Seek)
        {
            throw StopException.Wrong("--seek is for single frames: a video needs the whole history, so that its frames are the same however it is cut");
        }

        if (asked.Times.Count > 0)
        {
            throw StopException.Wrong("--at names single frames; a video takes --from and --to");
        }

        return new VideoRequest(
            from,
            to,
            FrameRate.TryParse(fps, out var rate) ? rate : throw StopException.Wrong($"--fps {fps} is none: write {FrameRate.Help}"),
            Shard.TryParse(shard, out var share) ? share : throw StopException.Wrong($"--shard {shard} is none: write K/N with K from 1 to N, such as 3/16"),
            quality switch
            {
                "small" => VideoQuality.Small,
                "good" => VideoQuality.Good,
                "lossless" => VideoQuality.Lossless,
                _ => throw StopException.Wrong($"--quality {quality} is not known: write small, good or lossless"),
            });
    }

    private static async Task DrawAsync(RenderRequest asked, VideoRequest video, bool asJson, Action<string> doubt, CancellationToken stop)
    {
        var report = VideoPrint.Reporter(Console.Error, !Console.IsErrorRedirected);
        WrittenVideo written;
        try
        {
            written = await VideoRun.RunAsync(asked, video, report, Tell.Note, stop, doubt).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            var parts = VideoNames.Parts(VideoNames.ShardFile(asked.Out, video.Shard));
            throw new StopException(StopKind.No, $"stopped; segments that were finished are kept in {parts}, and the same command goes on from there");
        }

        if (asJson)
        {
            Answers.WriteJson(written);
        }
        else if (written.File.Length == 0)
        {
            Console.WriteLine($"shard {written.Shard} has no frames: the video has fewer segments than shards");
        }
        else
        {
            Console.WriteLine($"{written.File}  {written.Camera}, {written.Frames} of {Counted.Of(written.AllFrames, "frame")}, shard {written.Shard}");
        }

        foreach (var what in written.LeftOut)
        {
            doubt(what);
        }
    }
}
