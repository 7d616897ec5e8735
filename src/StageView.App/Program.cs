using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Verbs;
using StageView.Ground.Systems;

ITerminal.Here.Begin();
var root = new RootCommand(
    "Shows and measures what a rig will do, from a rig scene file and what the console sends over sACN and Art-Net.");
foreach (var verb in AllVerbs.Build())
{
    root.Subcommands.Add(verb);
}

var parse = root.Parse(args);
if (parse.Errors.Count > 0)
{
    foreach (var error in parse.Errors)
    {
        Console.Error.WriteLine("stageview: " + error.Message);
    }

    Console.Error.WriteLine(
        $"stageview: '{string.Join(' ', new[] { "stageview" }.Concat(parse.CommandResult.Command == root ? [] : [parse.CommandResult.Command.Name]))} --help' "
        + $"says how it is asked.");
    return Exit.WrongQuestion;
}

return await parse.InvokeAsync().ConfigureAwait(false);
