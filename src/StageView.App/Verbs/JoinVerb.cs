using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.Ground.Words;
using StageView.Show.Video;

namespace StageView.App.Verbs;

/// <summary><c>stageview join</c>: shards of a rendered video into one file.</summary>
internal static class JoinVerb
{
    public static Command Build()
    {
        var video = new Argument<string>("VIDEO")
        {
            Description = "The video to write, as it was named with --out when its shards were rendered (.mp4, .mov, .mkv).",
        };
        var shards = new Argument<string[]>("SHARD")
        {
            Description = "Shard files in any order; left out, those that lie beside VIDEO.", Arity = ArgumentArity.ZeroOrMore,
        };
        var command = new Command("join",
            "Puts the shards of a video together without encoding it anew; checks that all are there and belong together.") { video, shards };
        return command.Does(async (parse, stop) =>
        {
            var file = parse.GetRequiredValue(video);
            var (count, frames) = await new ShardJoin(new Ffmpeg()).RunAsync(file, parse.GetValue(shards) ?? [], stop).ConfigureAwait(false);
            Console.WriteLine($"{file}: {Counted.Of(frames, "frame")} from {Counted.Of(count, "shard")}");
            return Exit.Fine;
        });
    }
}
