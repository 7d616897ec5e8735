using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Frames;

namespace StageView.App.Verbs;

/// <summary><c>stageview demo</c>: the demo show's pictures.</summary>
internal static class DemoVerb
{
    public static Command Build()
    {
        var output = new Option<string>("--out") { Description = "The folder for the pictures.", HelpName = "DIR", DefaultValueFactory = _ => "out/demo" };
        var size = new Option<string>("--size") { Description = "Width and height in pixels.", HelpName = "WxH", DefaultValueFactory = _ => "1280x720" };
        var json = Verb.JsonOption();
        var command = new Command("demo",
            "Draws the pictures of the demo show that comes with StageView: an invented concert in a former foundry.") { output, size, json };
        return command.Does(parse =>
        {
            var folder = Path.Combine(AppContext.BaseDirectory, "scenes", "foundry");
            var capture = Path.Combine(folder, "foundry.pcapng");
            var frames = new List<WrittenFrame>();
            if (!FrameSize.TryParse(parse.GetValue(size)!, out var s))
            {
                throw StopException.Wrong($"--size {parse.GetValue(size)} is no size: write width x height in pixels, such as 1280x720");
            }

            var asJson = parse.GetValue(json);
            using var run = new DemoRun(Path.Combine(folder, "foundry.rig.jsonc"), capture, Tell.Note);
            foreach (var cue in run.Pictures)
            {
                var frame = run.Draw(cue, s, parse.GetValue(output)!);
                frames.Add(frame);
                if (!asJson)
                {
                    Console.WriteLine($"{frame.File}  {cue.Note} ({cue.Time.TotalSeconds:0.0} s, {Counted.Of(frame.Beams, "beam")})");
                }
            }

            if (asJson)
            {
                Answers.WriteJson(frames);
            }

            foreach (var what in run.LeftOut)
            {
                Tell.Note(what);
            }

            return run.LeftOut.Count == 0 ? Exit.Fine : Exit.WrongQuestion;
        });
    }
}
