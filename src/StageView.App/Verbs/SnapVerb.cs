using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Frames;
using StageView.Show.Snap;
using StageView.Show.Sources;

namespace StageView.App.Verbs;

/// <summary><c>stageview snap RIG --capture F --out DIR</c>: frames of a show to compare later.</summary>
internal static class SnapVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var capture = new Option<string>("--capture")
        {
            Description = "A capture file (pcap or pcapng) with the console's sACN and Art-Net.", HelpName = "FILE", Required = true,
        };
        var venue = new Option<string?>("--venue") { Description = "A venue file laid over the rig.", HelpName = "FILE" };
        var at = new Option<string[]>("--at") { Description = "A time to take; may be given several times. " + ShowTime.Help + ".", HelpName = "TIME" };
        var cues = new Option<bool>("--cues")
        {
            Description =
                "Find the times: each change half-way, the settled look after it, the height of each flash. This is what is done when no times are named.",
        };
        var every = new Option<string?>("--every") { Description = "Also a frame every so often, such as 5s.", HelpName = "SECONDS" };
        var camera = new Option<string[]>("--camera")
        {
            Description = "A camera of the rig file; may be given several times. Without it: the first.", HelpName = "NAME",
        };
        var size = new Option<string?>("--size")
        {
            Description = "Width and height in pixels; when left out those of the frames in --against, else 1280x720.", HelpName = "WxH",
        };
        var against = new Option<string?>("--against")
        {
            Description = "A folder of frames, such as the baselines: pictures that nothing changed for are taken over from there instead of drawn.",
            HelpName = "BASE",
        };
        var all = new Option<bool>("--all") { Description = "Draw every frame, whatever was drawn before." };
        var detail = new Option<string?>("--detail")
        {
            Description = PictureStyle.DetailHelp + "; when left out that of the frames in --against.",
            HelpName = "LEVEL",
        };
        var inputs = Verb.InputsOption();
        var renderer = RendererOption.Build(", for compare, written into each frame's record");
        var shard = ShardOption.Build();
        var output = new Option<string>("--out") { Description = "Folder for the frames.", HelpName = "DIR", Required = true };
        var json = Verb.JsonOption();
        var command = new Command("snap",
            "Draws frames of a show with a record of what was lit beside each, to compare later.")
        {
            rig, venue, capture, at, cues, every, camera, size, against, all, detail, inputs, renderer, shard, output, json,
        };
        return command.Does(parse =>
        {
            var (n, of) = ShardOption.Read(parse.GetValue(shard));
            var asked = new SnapRequest
            {
                Rig = parse.GetValue(rig)!,
                Venue = parse.GetValue(venue),
                Capture = parse.GetValue(capture)!,
                Times = parse.GetValue(at) ?? [],
                Cues = parse.GetValue(cues),
                Every = Seconds(parse.GetValue(every)),
                Cameras = parse.GetValue(camera) ?? [],
                Against = parse.GetValue(against),
                All = parse.GetValue(all),
                Inputs = parse.GetValue(inputs),
                Detail = parse.GetValue(detail),
                Renderer = RendererOption.Read(parse.GetValue(renderer)),
                Size = parse.GetValue(size) is not { } wxh ? null : FrameSize.TryParse(wxh, out var s)
                    ? s
                    : throw StopException.Wrong($"--size {parse.GetValue(size)} is no size: write width x height in pixels, such as 1280x720, each 16 to 8192"),
                Out = parse.GetValue(output)!,
                Shard = n,
                Shards = of,
            };
            var asJson = parse.GetValue(json);
            var frames = SnapRun.Run(asked, p =>
            {
                if (!asJson)
                {
                    var frame = p.Last.Sidecar;
                    Console.WriteLine(
                        $"{p.Done,4}/{p.Total}  {frame.Frame}  {frame.Seconds.ToString("0.###", CultureInfo.InvariantCulture)} s, {frame.Moment}, "
                        + $"{Counted.Of(p.Last.Lit, "fixture")} lit{(p.Last.TakenOver ? ", unchanged: taken over" : "")}");
                }
            }, Tell.Note);
            if (asJson)
            {
                Answers.WriteJson(frames.Select(f => new
                {
                    f.Sidecar.Frame, f.Sidecar.Seconds, f.Sidecar.Moment, f.Sidecar.Camera, f.Sidecar.Pixels, f.Sidecar.Renderer, f.Sidecar.Driver, f.TakenOver,
                }));
            }
            else
            {
                Console.WriteLine($"{Counted.Of(frames.Count(f => !f.TakenOver), "frame")} drawn, {frames.Count(f => f.TakenOver)} taken over");
            }

            return Exit.Fine;
        });
    }

    private static double? Seconds(string? text)
    {
        if (text is null)
        {
            return null;
        }

        return double.TryParse(text.TrimEnd('s'), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var seconds) && seconds >= 0.01
            ? seconds
            : throw StopException.Wrong($"--every {text} is no interval: write seconds, at least 0.01, such as 5s");
    }
}
