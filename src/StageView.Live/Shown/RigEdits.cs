using System.Numerics;
using StageView.Live.Night;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Rig.Pieces;

namespace StageView.Live.Shown;

/// <summary>Writes what the page moves into the rig file, one edit at a time, and into the journal.</summary>
/// <param name="faulty">Whether the rig file can't be read as it stands.</param>
internal sealed class RigEdits(RigEditor editor, ShownStage shown, Func<bool> faulty, NightJournal journal)
{
    private readonly Lock _gate = new();

    public EditState State => new(editor.CanUndo, editor.CanRedo, editor.Last);

    /// <param name="fixture">Its name.</param>
    /// <param name="position">Where it hangs from now on, m.</param>
    public Reply Move(string fixture, Vector3 position) =>
        Edit(rig => RigQuestions.Named(rig, fixture) is { } f ? editor.Move(rig, f.Index, position) : Reply.NoFixture(fixture));

    public Reply Undo() => Edit(editor.Undo);

    public Reply Redo() => Edit(editor.Redo);

    private Reply Edit(Func<RigScene, Reply> edit)
    {
        lock (_gate)
        {
            if (faulty())
            {
                return Reply.Refuse("the rig file can't be read as it stands; mend it first");
            }

            var answer = edit(shown.Rig);
            if (answer.Ok)
            {
                journal.Say("rig", answer.Text);
            }

            return answer;
        }
    }
}
