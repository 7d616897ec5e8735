using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Sending;
using StageView.Ground.Files;
using StageView.Rig.Scene;
using StageView.Show;
using StageView.Show.Frames;
using StageView.Show.Pixels;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Verbs;

/// <summary><c>stageview pixels RIG --map NAME</c>: where pixels are, and where a fixed map thinks they are.</summary>
internal static class PixelsVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var map = new Option<string?>("--map") { Description = "One of the rig's maps; may be left out where there is one.", HelpName = "NAME" };
        var content = new Option<string?>("--content")
        {
            Description = "One of the rig's contents: it is sampled, and its map, or its throw onto the rig at rest, is followed.", HelpName = "NAME",
        };
        var capture = new Option<string?>("--capture") { Description = "A capture file with the console's sACN and Art-Net.", HelpName = "FILE" };
        var look = new Option<string?>("--look") { Description = "A look file instead of a capture.", HelpName = "FILE" };
        var at = new Option<string[]>("--at")
        {
            Description = "A time; may be given several times. " + ShowTime.Help + ". Without it the whole capture in steps.", HelpName = "TIME",
        };
        var step = new Option<double>("--step") { Description = "Seconds between times.", HelpName = "SECONDS", DefaultValueFactory = _ => .25 };
        var wipe = new Option<double>("--wipe")
        {
            Description = "Speed of a wipe over the picture, m/s: how wrong it comes is told in seconds.", HelpName = "SPEED", DefaultValueFactory = _ => 2,
        };
        var csv = new Option<string?>("--csv") { Description = "Write the map as a table: pixel, place in the picture, address.", HelpName = "FILE" };
        var numbered = new Option<string?>("--numbered") { Description = "Write the numbered picture of the map (PNG).", HelpName = "FILE" };
        var size = new Option<string>("--size") { Description = "Of pictures, pixels.", HelpName = "WxH", DefaultValueFactory = _ => "1280x720" };
        var picture = new Option<string?>("--picture")
        {
            Description = "Write a picture of where pixels are and where the map thinks they are, at the worst time (PNG).", HelpName = "FILE",
        };
        var corrected = new Option<string?>("--corrected")
        {
            Description = "Write the content, sampled where the pixels are, as levels to a capture, which 'stageview replay' sends.", HelpName = "FILE",
        };
        var rate = new Option<int>("--rate") { Description = "Corrected levels: frames a second, 1 to 44.", HelpName = "HZ", DefaultValueFactory = _ => 40 };
        var latency = new Option<double>("--latency")
        {
            Description = "Corrected levels: milliseconds until their light leaves the panels, which travel on meanwhile.", HelpName = "MS",
            DefaultValueFactory = _ => 0,
        };
        var send = new Option<bool>("--send")
        {
            Description = "Corrected levels: send them at once, at the show's own pace, to this machine alone unless an address is named.",
        };
        var to = new Option<string?>("--to")
        {
            Description = "With --send: the address to send to. Any but loopback may light a real rig, so it is asked about first.", HelpName = "ADDRESS",
        };
        var yes = new Option<bool>("--yes") { Description = "Don't ask before sending to another address than loopback; the caution is printed all the same." };
        var json = Verb.JsonOption();
        var command = new Command("pixels", "Follows pixels that move: where they are, where a fixed map thinks they are, and what that does to content.")
        {
            rig, venue, map, content, capture, look, at, step, wipe, csv, numbered, size, picture, corrected, rate, latency, send, to, yes, json,
        };
        return command.Does(async (parse, stop) =>
        {
            var address = SendConsent.Address(parse.GetValue(to), parse.GetValue(send));
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var (asJson, file, seen) = (parse.GetValue(json), parse.GetValue(capture), parse.GetValue(look));
            if (parse.GetValue(map) is null && parse.GetValue(content) is null && file is null && seen is null && scene.PixelMaps.Count != 1)
            {
                PixelsPrint.Maps(scene, asJson);
                return Exit.Fine;
            }

            var question = PixelsQuestion.Open(scene, parse.GetValue(map), parse.GetValue(content));
            var (width, height) = FrameSize.TryParse(parse.GetValue(size)!, out var s) ? (s.Width, s.Height)
                : throw StopException.Wrong($"--size {parse.GetValue(size)} is no size: write width x height in pixels, such as 1280x720");
            if (parse.GetValue(csv) is { } table)
            {
                WholeFile.WriteText(table, PixelMapCsv.Write(question.Rows()));
            }

            if (parse.GetValue(numbered) is { } png)
            {
                using var bitmap = PixelPictures.Numbered(scene, question, width, height);
                PixelPictures.Write(bitmap, png);
            }

            using var source = SourceChoice.Open(scene, file, null, seen);
            var answer = question.Track(source, Times(source, parse.GetValue(at) ?? [], Above(parse.GetValue(step), "--step"), file is not null),
                Above(parse.GetValue(wipe), "--wipe"));
            if (parse.GetValue(picture) is { } both && answer.Worst is { } worst)
            {
                using var bitmap = PixelPictures.RestAndNow(question, source.Stage.SurfacesAt(TimeSpan.FromSeconds(worst.Seconds)).ToArray(),
                    PixelsPrint.Title(answer, worst), width, height);
                PixelPictures.Write(bitmap, both);
            }

            CorrectedReport? report = null;
            SentReport? sent = null;
            if (parse.GetValue(corrected) is not null || parse.GetValue(send))
            {
                var run = new CorrectedRun(question, source, parse.GetValue(rate), parse.GetValue(latency), source.Times(parse.GetValue(at) ?? []));
                report = parse.GetValue(corrected) is { } written ? run.Write(written) : null;
                if (parse.GetValue(send))
                {
                    await SendConsent.Ask(address, parse.GetValue(yes), stop).ConfigureAwait(false);
                    sent = await Task.Run(() => run.Send(address, stop), CancellationToken.None).ConfigureAwait(false);
                }
            }

            PixelsPrint.Print(answer, report, sent is null ? null : (sent, address), asJson);
            return Tell.Doubts(source) ? Exit.WrongQuestion : Exit.Fine;
        });
    }

    private static IEnumerable<TimeSpan> Times(ShowSource source, string[] asked, double step, bool moves)
    {
        if (asked.Length > 0 || !moves)
        {
            return source.Times(asked).Select(t => t.Time).Order();
        }

        var end = source.End();
        return Enumerable.Range(0, (int)Math.Min(1e6, Math.Floor((end.TotalSeconds / step) + 1e-6)) + 1).Select(i => TimeSpan.FromSeconds(i * step));
    }

    private static double Above(double value, string option) =>
        double.IsFinite(value) && value > 1e-3 ? value : throw StopException.Wrong($"{option} takes a number above 0");
}
