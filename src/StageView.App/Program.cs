using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Starting;
using StageView.App.Verbs;
using StageView.Ground.Systems;

ITerminal.Here.Begin();
var root = new RootCommand(
    "Shows and measures what a rig will do, from a rig scene file and what the console sends over sACN and Art-Net.");
foreach (var verb in AllVerbs.Build())
{
    root.Subcommands.Add(verb);
}

var byHand = args.Length == 0 && !Console.IsOutputRedirected && !Console.IsInputRedirected;
var words = FirstStart.Words(args, byHand, FirstStart.Last());
if (byHand)
{
    Console.WriteLine(words[1] == FirstStart.Demo
        ? "This is the demo show. Your own: stageview live YOUR.rig.jsonc, or drop the file on the program; stageview new MY-SHOW begins one."
        : $"The rig that was shown last, {words[1]}. Another: stageview live ITS.rig.jsonc; all else: stageview --help.");
}

var parse = root.Parse(words);
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

var code = await parse.InvokeAsync().ConfigureAwait(false);
if (byHand && code != Exit.Fine)
{
    // A window that closes at once takes the reason with it.
    Console.Error.WriteLine("stageview: Enter closes this; 'stageview machine' says what was found of this machine");
    Console.ReadLine();
}

return code;
