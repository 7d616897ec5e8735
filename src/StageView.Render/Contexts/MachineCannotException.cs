namespace StageView.Render;

/// <summary>The machine lacks what a picture needs; the message says what to install. The command ends with exit code 3.</summary>
public sealed class MachineCannotException(string message) : Exception(message);
