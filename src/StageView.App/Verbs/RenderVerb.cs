using System.CommandLine;
using StageView.App.Compose;
using StageView.Light;

namespace StageView.App.Verbs;

/// <summary><c>stageview render RIG</c>: pictures of a rig at given times.</summary>
internal static class RenderVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var capture = new Option<string?>("--capture") { Description = "A capture file (pcap or pcapng) with the console's sACN and Art-Net.", HelpName = "FILE" };
        var listen = new Option<double?>("--listen") { Description = "Listen to the network for so many seconds, then draw what has arrived.", HelpName = "SECONDS" };
        var look = new Option<string?>("--look") { Description = "A look file instead: fixtures and what they shall do, in physical units.", HelpName = "FILE" };
        var at = new Option<string[]>("--at") { Description = "A time to draw; may be given several times. " + ShowTime.Help + ". Without it: the end of the capture or of the listening.", HelpName = "TIME" };
        var camera = new Option<string[]>("--camera") { Description = "A camera of the rig file; may be given several times. Without it: the first.", HelpName = "NAME" };
        var size = new Option<string>("--size") { Description = "Width and height in pixels.", HelpName = "WxH", DefaultValueFactory = _ => "1280x720" };
        var output = new Option<string>("--out") { Description = "A .png file for one frame, or a folder.", HelpName = "PATH", Required = true };
        var json = Verb.JsonOption();
        var command = new Command("render", "Draws frames of a rig as PNG pictures, without a display.") { rig, capture, listen, look, at, camera, size, output, json };
        return command.Does(parse =>
        {
            var asked = new RenderRequest
            {
                Rig = parse.GetValue(rig)!,
                Capture = parse.GetValue(capture),
                ListenSeconds = parse.GetValue(listen),
                Look = parse.GetValue(look),
                Times = parse.GetValue(at) ?? [],
                Cameras = parse.GetValue(camera) ?? [],
                Size = FrameSize.TryParse(parse.GetValue(size)!, out var s)
                    ? s
                    : throw StopException.Wrong($"--size {parse.GetValue(size)} is no size: write width x height in pixels, such as 1280x720, each 16 to 8192"),
                Out = parse.GetValue(output)!,
            };
            var frames = RenderRun.Run(asked, asJson: parse.GetValue(json));
            if (parse.GetValue(json))
            {
                Answers.WriteJson(frames);
            }

            return Exit.Fine;
        });
    }
}
