"""The hand-ins of a class: a folder of them in, results, a table and a page of the class out.

    collecting   what lies in a folder, and in zips in it: read as data, one entry after the other
    roster       who is in the class, and whose an entry is
    own_marks    the instructor's own file: comments, and whose an entry is that nobody can tell
    results      each learner's newest hand-in judged; what is late, missing, or needs the instructor
    alike        the same drawings from two learners, where it is asked
    written      results as JSON and as a sheet
    class_page   results as a page
"""
